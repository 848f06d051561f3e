import type { Fault, FaultKind } from "../plan/fault.js";
import type { Plan } from "../plan/plan-schema.js";
import { lampWords, pinWords } from "./place-words.js";

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

type PlaceWords = (plan: Plan, name: string) => string;

const placeWords: Readonly<Record<string, PlaceWords>> = {
  pin: (plan, pin) => `terminal ${pinWords(plan, pin)}`,
  far: (_plan, pin) => `far terminal ${pin}`,
  wire: (plan, pin) => `${plan.kind === "cable" ? "conductor" : "trunk wire"} of ${pinWords(plan, pin)}`,
  feed: (plan, name) => {
    const [pin = "", lamp = ""] = name.split("/");
    return `branch from ${pin} to ${lampWords(plan, lamp)} (wire, splice or diode)`;
  },
  lamp: (plan, lamp) => `lamp ${lampWords(plan, lamp)}`,
  "lamp-feed": (plan, lamp) => `feed of lamp ${lampWords(plan, lamp)}, behind its diode`,
  "socket-ground": (plan, socket) => `ground of socket ${lampWords(plan, socket)}`,
  "ground-bond": () => "bond of the ground wire to the chassis",
};

/** `wire:LT+wire:TM` → `trunk wire of LT, … and trunk wire of TM, …`. */
export function faultPlaceWords(plan: Plan, fault: Fault): string {
  const place = fault.at
    .split("+")
    .map((part) => {
      const [kind = "", name = ""] = part.split(":");
      return placeWords[kind]?.(plan, name) ?? part;
    })
    .join(" and ");
  return fault.instead === undefined ? place : `${place}, ${fault.instead} fitted`;
}
