import type { Fault, FaultKind } from "../plan/fault.js";
import type { Plan } from "../plan/plan-schema.js";
import { namedPlaceWords } from "./named-place-words.js";

interface FaultKindWords {
  readonly kind: FaultKind;
  readonly title: string;
  readonly meaning: string;
}

/** Every fault kind in the order in which a shop meets them. */
export const faultKindWords: readonly FaultKindWords[] = [
  { kind: "open", title: "Open circuit", meaning: "No connection there at all." },
  {
    kind: "high-resistance",
    title: "Poor connection",
    meaning: "Current flows, but voltage is lost there: a bad crimp, corrosion, broken strands.",
  },
  {
    kind: "short-to-ground",
    title: "Short to ground",
    meaning: "The wire touches the chassis, before or behind the isolation diode.",
  },
  {
    kind: "short-to-power",
    title: "Short to power",
    meaning: "Another supply reaches the pin; the bench must refuse to drive it.",
  },
  { kind: "bridge", title: "Bridge", meaning: "Two wires joined where they should not be." },
  { kind: "swap", title: "Swapped wires", meaning: "Two wires on each other's terminals." },
  {
    kind: "diode-shorted",
    title: "Isolation diode shorted",
    meaning: "The diode on the towing side conducts both ways, or was left out.",
  },
  {
    kind: "factory-diode-shorted",
    title: "Factory-side diode shorted",
    meaning: "The diode on the vehicle's own feed conducts both ways.",
  },
  {
    kind: "diode-reversed",
    title: "Diode reversed",
    meaning: "The isolation diode stands the wrong way round.",
  },
  { kind: "wrong-lamp", title: "Wrong lamp", meaning: "A lamp of another kind is in the socket." },
];

/** `wire:LT+wire:TM` → `trunk wire of LT, … and trunk wire of TM, …`. */
export function faultPlaceWords(plan: Plan, fault: Fault): string {
  const place = fault.at
    .split("+")
    .map((part) => `${namedPlaceWords(plan, part)}${part.startsWith("feed:") ? " (wire, splice or diode)" : ""}`)
    .join(" and ");
  return fault.instead === undefined ? place : `${place}, ${fault.instead} fitted`;
}
