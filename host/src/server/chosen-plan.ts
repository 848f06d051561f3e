import type { FaultGroup, PlanView } from "./contract.js";
import { faultGroups } from "./fault-choices.js";
import type { ShelvedPlan } from "./plan-shelf.js";
import { planView } from "./plan-view.js";

/** A plan on the workbench, with what is worked out of it once. */
export interface ChosenPlan extends ShelvedPlan {
  readonly view: PlanView;
  readonly groups: readonly FaultGroup[];
}

/** Works out what the page shows of a plan; a sentence about why, where that is not possible. */
export function chosenPlan(shelved: ShelvedPlan): ChosenPlan | string {
  try {
    return { ...shelved, view: planView(shelved.plan, shelved.summary), groups: faultGroups(shelved.plan) };
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    return `The expected currents of this plan cannot be worked out: ${why}`;
  }
}
