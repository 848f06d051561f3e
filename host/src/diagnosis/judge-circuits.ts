import {
  ampsUncertainty,
  type CircuitEvidence,
  loadIsUnseen,
  lowCheckIsOpen,
  unseenLoadWords,
  type WalkEvidence,
} from "./circuit-evidence.js";
import type { CircuitFinding } from "./findings.js";
import { inAmps, inVolts } from "./verdicts/amounts.js";
import { verdictTable } from "./verdicts/verdict-table.js";

/** Each circuit's verdict by direct evidence: the first rule of the table that finds a reason, else pass or not judged. */
export function judgeCircuits(walk: WalkEvidence): CircuitFinding[] {
  return walk.circuits.map((circuit) => {
    for (const rule of verdictTable) {
      const reason = rule.reasonFor(circuit, walk);
      if (reason !== undefined) return { ...commonPart(circuit, walk), verdict: rule.verdict, reason };
    }
    const missing = whyNotJudged(circuit, walk);
    if (missing !== undefined) return { ...commonPart(circuit, walk), verdict: "not-judged", reason: missing };
    return { ...commonPart(circuit, walk), verdict: "pass", reason: passReason(circuit) };
  });
}

function commonPart(
  { healthy, drive }: CircuitEvidence,
  { readings }: WalkEvidence,
): Omit<CircuitFinding, "verdict" | "reason"> {
  const { expected, low, high } = healthy.amps;
  const volts = drive?.volts[healthy.pin];
  return {
    pin: healthy.pin,
    function: healthy.function,
    expected: { amps: rounded(expected), low: rounded(low), high: rounded(high) },
    ...(drive === undefined
      ? {}
      : {
          measured: {
            amps: drive.amps,
            uncertainty: ampsUncertainty(readings, drive.amps),
            ...(volts === undefined ? {} : { volts }),
          },
        }),
  };
}

/** Tenths of a milliamp: finer than any bench reads. */
const rounded = (amps: number): number => Math.round(amps * 1e4) / 1e4;

/** Nothing speaks against the circuit; this says what is missing to speak for it. */
function whyNotJudged(circuit: CircuitEvidence, { readings }: WalkEvidence): string | undefined {
  const { drive, low, healthy } = circuit;
  if (drive !== undefined) return loadIsUnseen(circuit, readings) ? unseenLoadWords(healthy) : undefined;
  if (low === undefined) return "It was neither checked with low current nor driven.";
  const lowVolts = low.volts[healthy.pin];
  const seen = lowVolts === undefined ? "" : ` (low-current check: ${inVolts(lowVolts)})`;
  const blind =
    lowCheckIsOpen(circuit, readings) === undefined ? " Its load draws nothing in the low-current check." : "";
  return `It was not driven, so its current is not known${seen}.${blind}`;
}

function passReason({ healthy, drive }: CircuitEvidence): string {
  const { low, high } = healthy.amps;
  return `${inAmps(drive?.amps ?? 0)} lies within ${inAmps(low)} to ${inAmps(high)}, and no other pin takes part.`;
}
