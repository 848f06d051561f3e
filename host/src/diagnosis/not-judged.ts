import type { Plan } from "../plan/plan-schema.js";
import { type CircuitEvidence, loadIsUnseen, unseenLoadWords, type WalkEvidence } from "./circuit-evidence.js";
import type { Findings } from "./findings.js";

type NotJudged = Findings["notJudged"][number];

/** What these readings cannot show of this plan, and why. */
export function notJudged(plan: Plan, walk: WalkEvidence): NotJudged[] {
  return [
    ...missingSections(walk),
    ...missingPins(walk),
    ...(plan.kind === "install" ? [...unseenLoads(walk), ...equalLoads(walk)] : farEnds(walk)),
  ];
}

function missingSections({ readings }: WalkEvidence): NotJudged[] {
  const sections = [
    ["rest", "Voltages at rest are missing: a foreign supply on a pin would not be noticed."],
    ["lowCurrent", "The low-current check is missing: bridges and missing diodes could hide behind the loads."],
    ["drives", "No pin was driven: whether the loads take their current is not known."],
  ] as const;
  return sections.flatMap(([what, why]) => {
    const section = readings[what];
    const empty = section === undefined || Object.keys(section).length === 0;
    return empty ? [{ what, why }] : [];
  });
}

function missingPins(walk: WalkEvidence): NotJudged[] {
  const { readings, circuits } = walk;
  const without = (has: (circuit: CircuitEvidence) => boolean): string =>
    circuits
      .filter((circuit) => !has(circuit) && (circuit.restVolts ?? 0) <= 1)
      .map(({ healthy }) => healthy.pin)
      .join(", ");
  const found: NotJudged[] = [];
  const rest = without((circuit) => circuit.restVolts !== undefined);
  if (readings.rest !== undefined && Object.keys(readings.rest).length > 0 && rest !== "") {
    found.push({ what: "rest", why: `No voltage at rest was read on ${rest}.` });
  }
  const low = without((circuit) => circuit.low !== undefined);
  if ((readings.lowCurrent?.length ?? 0) > 0 && low !== "") {
    found.push({ what: "lowCurrent", why: `${low} had no low-current check.` });
  }
  const driven = without((circuit) => circuit.drive !== undefined);
  if ((readings.drives?.length ?? 0) > 0 && driven !== "") {
    found.push({ what: "drives", why: `${driven} was not driven.` });
  }
  return found;
}

/** Circuits whose load is so small that an open wire would read the same: no lamp, or an LED lamp within the bench's error. */
function unseenLoads({ circuits, readings }: WalkEvidence): NotJudged[] {
  return circuits
    .filter((circuit) => circuit.drive !== undefined && loadIsUnseen(circuit, readings))
    .map(({ healthy }) => ({ what: `load:${healthy.pin}`, why: unseenLoadWords(healthy) }));
}

/** Pins whose healthy currents the bench cannot tell apart, unless somebody saw which lamp was lit. */
function equalLoads({ circuits, readings }: WalkEvidence): NotJudged[] {
  const found: NotJudged[] = [];
  circuits.forEach((first, index) => {
    for (const second of circuits.slice(index + 1)) {
      if (!carryEqualLoads(first, second) || orderSeen(first) || orderSeen(second)) continue;
      if (first.drive === undefined && second.drive === undefined && readings.drives === undefined) continue;
      const pins = `${first.healthy.pin} and ${second.healthy.pin}`;
      const what = areSides(first, second) ? "left-right-order" : `order:${first.healthy.pin}+${second.healthy.pin}`;
      found.push({
        what,
        why: `${pins} carry equal loads: their wires could be swapped and no reading would differ. Look which lamp lights, or do the walk-round.`,
      });
    }
  });
  return found;
}

function carryEqualLoads(first: CircuitEvidence, second: CircuitEvidence): boolean {
  const a = first.healthy.amps;
  const b = second.healthy.amps;
  return a.expected < b.high && a.expected > b.low && b.expected < a.high && b.expected > a.low;
}

function areSides(first: CircuitEvidence, second: CircuitEvidence): boolean {
  const sides = [first, second].map(({ healthy }) => healthy.function.split("-")[0]);
  return sides.includes("left") && sides.includes("right");
}

function orderSeen({ seen, healthy }: CircuitEvidence): boolean {
  return seen?.some((lamp) => healthy.lights.includes(lamp)) ?? false;
}

function farEnds({ circuits, readings }: WalkEvidence): NotJudged[] {
  const blind = circuits.filter(
    ({ drive, low }) => (drive ?? low) !== undefined && (drive?.farVolts ?? low?.farVolts) === undefined,
  );
  if (blind.length === 0 || readings.drives === undefined) return [];
  const pins = blind.map(({ healthy }) => healthy.pin).join(", ");
  return [
    { what: "far-end-order", why: `The far end was not read for ${pins}: where the conductors come out is not known.` },
  ];
}
