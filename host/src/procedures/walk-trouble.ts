import { isBenchError, refusalOf } from "../bench/bench-error.js";

/** Why a walk could not be done: a code for programs, words for a person that say what to do. */
export interface WalkTrouble {
  readonly code: string;
  readonly message: string;
}

/** Thrown inside a walk for what is neither an error of the link nor a finding about the vehicle. */
export class WalkTroubleError extends Error implements WalkTrouble {
  readonly code: string;

  constructor({ code, message }: WalkTrouble) {
    super(message);
    this.name = "WalkTroubleError";
    this.code = code;
  }
}

/** What a person does about an error of the link, by its code. */
const adviceByProblem: Readonly<Record<string, string>> = {
  "cannot-open": "Check the path and the USB cable; `pinwalk benches` lists what is there.",
  "port-busy": "Close the other program, or the dashboard that holds this bench, and try again.",
  "not-a-bench": "Check the bench's power and cable; `pinwalk benches` lists what is there.",
  "port-lost": "Plug the cable in again and repeat the walk.",
  "no-answer": "Check the bench's power and cable, and repeat the walk.",
  garbled: "Use a short, shielded USB cable away from chargers, and repeat the walk.",
  "bench-reset": "Check the bench's 5 V supply, and repeat the walk.",
};

/** What a person does about a refusal, by its code. Only those that a walk can meet. */
const adviceByRefusal: Readonly<Record<string, string>> = {
  supply: "Use a charged 12 V battery or set the bench supply to 12 to 14 V, check its fuse, and repeat the walk.",
  stuck: "Do not use this bench before it is mended.",
  foreign: "Disconnect what feeds it (another battery, a charger, a running engine), and repeat the walk.",
  latched: "Look for a short at the bench itself, switch its supply off and on, and repeat the walk.",
  live: "Find out what feeds it, and repeat the walk.",
};

/** Puts an error into words: what happened, and what to do. `pinOf` names the pin at a channel of the bench. */
export function troubleOf(error: unknown, pinOf: (channel: number) => string | undefined): WalkTrouble {
  if (error instanceof WalkTroubleError) return { code: error.code, message: error.message };
  const refusal = refusalOf(error);
  if (isBenchError(error)) {
    const advice = refusal === undefined ? adviceByProblem[error.code] : adviceByRefusal[refusal.code];
    const pin = refusal !== undefined && "channel" in refusal.fields ? pinOf(refusal.fields.channel) : undefined;
    const words = pin === undefined ? error.message : `${error.message} (That channel is pin ${pin}.)`;
    const code = refusal === undefined ? error.code : `refused-${refusal.code}`;
    return { code, message: advice === undefined ? words : `${words} ${advice}` };
  }
  if (error instanceof Error && "code" in error && typeof error.code === "string") {
    return { code: error.code, message: error.message };
  }
  return {
    code: "internal",
    message: `Pinwalk stumbled over itself: ${error instanceof Error ? error.message : error}`,
  };
}
