import type { Plan } from "../plan/plan-schema.js";
import { lampWords, pinWords } from "./place-words.js";

type PlaceWords = (plan: Plan, name: string) => string;

const placeWords: Readonly<Record<string, PlaceWords>> = {
  pin: (plan, pin) => `terminal ${pinWords(plan, pin)}`,
  far: (_plan, pin) => `far terminal ${pin}`,
  wire: (plan, pin) => `${plan.kind === "cable" ? "conductor" : "trunk wire"} of ${pinWords(plan, pin)}`,
  feed: (plan, name) => {
    const [pin = "", lamp = ""] = name.split("/");
    return `branch from ${pin} to ${lampWords(plan, lamp)}`;
  },
  lamp: (plan, lamp) => `lamp ${lampWords(plan, lamp)}`,
  socket: (plan, socket) => `socket ${lampWords(plan, socket)}`,
  plan: () => "the whole plan",
  "lamp-feed": (plan, lamp) => `feed of lamp ${lampWords(plan, lamp)}, behind its diode`,
  "socket-ground": (plan, socket) => `ground of socket ${lampWords(plan, socket)}`,
  "ground-bond": () => "bond of the ground wire to the chassis",
};

/** A place as plans, faults and remarks name it: `wire:LT` → `trunk wire of LT, left stop and turn`. */
export function namedPlaceWords(plan: Plan, place: string): string {
  const [kind = "", name = ""] = place.split(":");
  return placeWords[kind]?.(plan, name) ?? place;
}
