import type { Plan } from "../plan/plan-schema.js";
import { checkList } from "../procedures/check-list.js";
import type { ChecksView } from "./contract.js";

/** The check list before power goes on, and what a person has ticked of it. */
export class TickedChecks {
  #ticked: ReadonlySet<string> = new Set();

  items(plan: Plan | undefined): ChecksView["items"] {
    const items = plan ? checkList(plan) : [];
    return items.map(({ id, text }) => ({ id, text, ticked: this.#ticked.has(id) }));
  }

  /** False where the plan's list has no such check. */
  tick(plan: Plan | undefined, checkId: string, ticked: boolean): boolean {
    if (!this.items(plan).some(({ id }) => id === checkId)) return false;
    const others = [...this.#ticked].filter((id) => id !== checkId);
    this.#ticked = new Set(ticked ? [...others, checkId] : others);
    return true;
  }

  clear(): void {
    this.#ticked = new Set();
  }

  /** What is still to be ticked, as a reason not to begin; none for nothing. */
  hindrance(plan: Plan | undefined): readonly string[] {
    const count = this.items(plan).filter(({ ticked }) => !ticked).length;
    return count > 0 ? [`Tick ${count} ${count === 1 ? "check" : "checks"} under “Before power goes on”.`] : [];
  }
}
