import { type Candidate, type CheckKind, type CheckScene, softened } from "./check-kind.js";

/** A pin on which the vehicle's own switch puts more than this is fed back, volts. */
const fedVolts = 1;

/** Switching one of the vehicle's own functions on: which pins of the connector come alive? */
export const switchVehicle: CheckKind = {
  key: "switch",
  effortMinutes: 1,
  propose: ({ conditions: { plan }, backFed }) => {
    if (plan.kind !== "install") return [];
    const functions = [...new Set(plan.circuits.map((circuit) => circuit.function))];
    return functions.filter((one) => !backFed.includes(one)).map((one) => ({ switch: one }));
  },
  outcomes: (check, scene) =>
    signatures(check.switch ?? "", scene).map((answer) => ({
      answer,
      text: answer === "none" ? "no pin comes alive" : `${answer} comes alive`,
    })),
  chances: ({ switch: name = "" }, candidate, scene) => {
    const all = signatures(name, scene);
    return softened(all.indexOf(signatureOf(name, candidate)), all.length);
  },
  text: ({ switch: name }) =>
    `Drive nothing and switch the vehicle's own ${(name ?? "").replaceAll("-", " ")} on: which pins of the connector come alive?`,
};

function signatures(name: string, { candidates }: CheckScene): string[] {
  return [...new Set(["none", ...candidates.map((candidate) => signatureOf(name, candidate))])];
}

const known = new WeakMap<Candidate, Map<string, string>>();

function signatureOf(name: string, candidate: Candidate): string {
  const found = known.get(candidate) ?? new Map<string, string>();
  known.set(candidate, found);
  const before = found.get(name);
  if (before !== undefined) return before;
  const { vehicle } = candidate;
  const point = vehicle.feed({ kind: "back-feed", functions: [name] });
  const alive = vehicle.built.pins.filter((pin) => (point.voltsOf(vehicle.built.pinNode(pin)) ?? 0) > fedVolts);
  const signature = alive.length === 0 ? "none" : alive.join("+");
  found.set(name, signature);
  return signature;
}
