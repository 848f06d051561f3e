import { baud as defaultBaud } from "@pinwalk/firmware-protocol/generated/protocol.js";
import type { StatedUncertainty } from "./bench-calibration.js";
import { isBenchError } from "./bench-error.js";
import type { BenchIdentity } from "./bench-identity.js";
import type { BenchProblem } from "./bench-problem.js";
import { wordsForProblem } from "./bench-problem-words.js";
import { BenchSession } from "./bench-session.js";
import type { BenchStatus } from "./bench-status.js";
import type { BenchPort } from "./port.js";
import { listPortPaths, type PortPath } from "./port-paths.js";
import { openSerialPort } from "./serial-port.js";

/** What asking one port came to. `message` is for a person. */
export type FoundBench =
  | {
      readonly kind: "bench";
      readonly path: string;
      readonly device?: string;
      readonly identity: BenchIdentity;
      /** Asked for with `inFull`. */
      readonly status?: BenchStatus;
      /** Of its readings, where it was calibrated; asked for with `inFull`. */
      readonly uncertainty?: StatedUncertainty;
    }
  | {
      readonly kind: "not-a-bench" | "busy" | "cannot-open";
      readonly path: string;
      readonly device?: string;
      readonly message: string;
    }
  | {
      readonly kind: "other-protocol";
      readonly path: string;
      readonly device?: string;
      readonly protocol: number;
      readonly message: string;
    };

export interface FindOptions {
  /** Ports to ask; all of the machine's unless given. */
  readonly paths?: readonly string[];
  /** Ports to leave alone: opening one may reset the board behind it. */
  readonly except?: ReadonlySet<string>;
  readonly baud?: number;
  /** How often to ask each port, 300 ms apart; 10 unless given, which covers a board that resets when it is opened. */
  readonly attempts?: number;
  /** Whether to ask a bench how it is doing and how well it measures, too. */
  readonly inFull?: boolean;
  readonly openPort?: (path: string, options: { readonly baud: number }) => Promise<BenchPort>;
}

/**
 * Asks every port who is there, all at the same time, and closes them again. A bench that is found has been turned off by the
 * asking, unless another program has its port: then nothing is sent. Never throws.
 */
export async function findBenches(options: FindOptions = {}): Promise<FoundBench[]> {
  const ports: readonly PortPath[] = options.paths?.map((path) => ({ path })) ?? (await listPortPaths());
  const asked = ports.filter(({ path }) => options.except?.has(path) !== true);
  return await Promise.all(asked.map((port) => ask(port, options)));
}

async function ask(port: PortPath, options: FindOptions): Promise<FoundBench> {
  const { openPort = openSerialPort, baud = defaultBaud, attempts } = options;
  try {
    const opened = await openPort(port.path, { baud });
    const session = await BenchSession.open(opened, attempts === undefined ? {} : { helloAttempts: attempts });
    const { identity } = session;
    const more = options.inFull === true ? await askMore(session) : {};
    await session.close();
    return { kind: "bench", ...port, identity, ...more };
  } catch (error) {
    if (isBenchError(error)) return { ...port, ...outcomeOf(error.problem) };
    const detail = error instanceof Error ? error.message : String(error);
    return { ...port, ...outcomeOf({ code: "cannot-open", path: port.path, detail }) };
  }
}

/** What a bench cannot say, it is a bench without. */
async function askMore(session: BenchSession) {
  const status = await session.status().catch(() => undefined);
  const uncertainty = await session.statedUncertainty().catch(() => undefined);
  return { ...(status === undefined ? {} : { status }), ...(uncertainty === undefined ? {} : { uncertainty }) };
}

type Outcome =
  | { readonly kind: "not-a-bench" | "busy" | "cannot-open"; readonly message: string }
  | { readonly kind: "other-protocol"; readonly protocol: number; readonly message: string };

function outcomeOf(problem: BenchProblem): Outcome {
  const message = wordsForProblem(problem);
  switch (problem.code) {
    case "other-protocol":
      return { kind: "other-protocol", protocol: problem.theirs, message };
    case "port-busy":
      return { kind: "busy", message };
    case "cannot-open":
    case "port-lost":
    case "port-closed":
      return { kind: "cannot-open", message };
    default:
      return { kind: "not-a-bench", message };
  }
}
