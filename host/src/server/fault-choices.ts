import { defaultFaultOhms, type Fault, faultPlaces } from "../plan/fault.js";
import { defaultLibrary, findBulb } from "../plan/parts/parts-library.js";
import type { Plan } from "../plan/plan-schema.js";
import type { FaultGroup, FaultsView } from "./contract.js";
import { faultKindWords, faultPlaceWords } from "./fault-words.js";

/** Lamps that stand in for "a wrong one": a usual pair of North America and one of Europe, large and small. */
const strayBulbs = ["1156", "194", "P21W", "R5W"] as const;

/** `faultPlaces`, but every wrong lamp says which lamp it is. */
function possibleFaults(plan: Plan): Fault[] {
  const stray = strayBulbs.filter((bulb) => findBulb(defaultLibrary, bulb, plan.nominalVolts) !== undefined);
  return faultPlaces(plan).flatMap((fault): Fault[] =>
    fault.kind === "wrong-lamp" ? stray.map((instead) => ({ ...fault, instead })) : [fault],
  );
}

function usualOhms(kind: Fault["kind"]): number | null {
  return kind in defaultFaultOhms ? defaultFaultOhms[kind as keyof typeof defaultFaultOhms] : null;
}

/** The name of a fault on the wire: kind and place, and the lamp in its place where that is the fault. */
export function choiceOf({ kind, at, instead }: Fault): string {
  return instead === undefined ? `${kind}@${at}` : `${kind}@${at}=${instead}`;
}

/** Every fault that a plan's wiring can have, by kind. */
export function faultGroups(plan: Plan): FaultGroup[] {
  const places = possibleFaults(plan);
  return faultKindWords.flatMap((words) => {
    const choices = places
      .filter((fault) => fault.kind === words.kind)
      .map((fault) => ({ choice: choiceOf(fault), place: faultPlaceWords(plan, fault) }));
    return choices.length === 0 ? [] : [{ ...words, usualOhms: usualOhms(words.kind), choices }];
  });
}

export type ChosenFaults =
  | { readonly ok: true; readonly faults: readonly Fault[] }
  | { readonly ok: false; readonly message: string };

/** The faults that a person chose; a choice that the plan does not have, or has twice, is refused. */
export function chosenFaults(
  plan: Plan,
  chosen: readonly { readonly choice: string; readonly ohms?: number | undefined }[],
): ChosenFaults {
  const places = new Map(possibleFaults(plan).map((fault) => [choiceOf(fault), fault]));
  const faults: Fault[] = [];
  const seen = new Set<string>();
  for (const { choice, ohms } of chosen) {
    const fault = places.get(choice);
    if (fault === undefined) return { ok: false, message: `This plan has no place for the fault ${choice}.` };
    if (seen.has(choice)) return { ok: false, message: `The fault ${choice} is named twice.` };
    seen.add(choice);
    faults.push(ohms === undefined ? fault : { ...fault, ohms });
  }
  return { ok: true, faults };
}

/** The faults that are in the virtual vehicle now, in words. */
export function putView(plan: Plan, faults: readonly Fault[]): FaultsView["put"] {
  return faults.map((fault) => ({
    choice: choiceOf(fault),
    title: faultKindWords.find((words) => words.kind === fault.kind)?.title ?? fault.kind,
    place: faultPlaceWords(plan, fault),
    ohms: fault.ohms ?? null,
  }));
}
