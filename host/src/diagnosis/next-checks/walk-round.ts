import { litChance } from "../simulation/lamp-lit.js";
import type { CheckKind, CheckScene } from "./check-kind.js";
import { type Candidate, softened } from "./check-kind.js";

/** Driving every pin in turn and saying which lamps light: tells the sides apart, and everything that is dark. */
export const walkRound: CheckKind = {
  key: "walkRound",
  effortMinutes: 3,
  propose: ({ conditions: { plan }, seenPins, drivablePins }) =>
    plan.kind === "install" && drivablePins.some((pin) => !seenPins.includes(pin)) ? [{ walkRound: "all" }] : [],
  outcomes: (_check, scene) => signatures(scene).map((answer) => ({ answer, text: answer })),
  chances: (_check, candidate, scene) => {
    const all = signatures(scene);
    return softened(all.indexOf(signatureOf(candidate, scene)), all.length);
  },
  text: () => "Do the walk-round: every pin is driven in turn, and you say which lamps light.",
};

function signatures(scene: CheckScene): string[] {
  return [...new Set(scene.candidates.map((candidate) => signatureOf(candidate, scene)))];
}

/** `LT: left-rear.bright; TM: none`. */
function signatureOf(candidate: Candidate, { drivablePins }: CheckScene): string {
  return drivablePins
    .map((pin) => {
      const point = candidate.driven(pin);
      if (point === undefined) return `${pin}: trips`;
      const lit = candidate.vehicle.built.lamps.filter((lamp) => litChance(candidate.vehicle, lamp, point) > 0.5);
      return `${pin}: ${lit.map(({ id }) => id).join(", ") || "none"}`;
    })
    .join("; ");
}
