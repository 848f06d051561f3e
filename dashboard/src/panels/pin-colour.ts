import type { PlanView } from "@pinwalk/host/server/contract.js";

/** The wire colour of a pin of the near connector; null where nobody names one. */
export function colourOf(plan: PlanView, pin: string): string | null {
  return plan.faces[0]?.pins.find((row) => row.pin === pin)?.colour ?? null;
}
