import type { Fault } from "../plan/fault.js";
import type { Plan } from "../plan/plan-schema.js";
import { type ChosenPlan, chosenPlan } from "./chosen-plan.js";
import type { CommandAck, CommandPayload, FaultsView, PlansView } from "./contract.js";
import { chosenFaults, putView } from "./fault-choices.js";
import type { LeftCheck } from "./guided-check/left-check.js";
import type { PlanShelf } from "./plan-shelf.js";

/** What the choice of a plan needs of the workbench. */
export interface PlanChoiceGround {
  busy(): boolean;
  /** Another plan is chosen: what was measured belongs to the plan before. */
  onChosen(): void;
  onChanged(...sections: ("plans" | "faults" | "backFeed" | "round")[]): void;
}

const done: CommandAck = { ok: true };
const refuse = (code: string, message: string) => ({ ok: false, code, message }) as const;
const whileBusy = refuse("walking", "Something goes on with the bench. Stop it first.");
const noPlan = refuse("no-plan", "Choose a plan first.");

/** The plan that lies on a workbench, and the faults in the simulated vehicle that is built after it. */
export class PlanChoice {
  readonly #plans: PlanShelf;
  readonly #ground: PlanChoiceGround;
  #chosen: ChosenPlan | null = null;
  #faults: readonly Fault[] = [];

  constructor(plans: PlanShelf, ground: PlanChoiceGround) {
    this.#plans = plans;
    this.#ground = ground;
  }

  get plan(): Plan | undefined {
    return this.#chosen?.plan;
  }

  /** Whether it came with the program. */
  get isSample(): boolean {
    return this.#chosen?.summary.origin === "sample";
  }

  get faults(): readonly Fault[] {
    return this.#faults;
  }

  view(): PlansView {
    return {
      list: this.#plans.list,
      refused: this.#plans.refused,
      chosen: this.#chosen?.view ?? null,
      chosenIs: this.#chosenIs(),
      folder: this.#plans.folder,
      problem: this.#plans.problem,
    };
  }

  faultsView(): FaultsView {
    return {
      groups: this.#chosen?.groups ?? [],
      put: this.#chosen ? putView(this.#chosen.plan, this.#faults) : [],
    };
  }

  /** Why nothing may be driven by this plan. */
  hindrances(): string[] {
    if (!this.#chosen) return [noPlan.message];
    return this.#chosenIs() === "changed" ? ["The plan has been edited since it was chosen: choose it again."] : [];
  }

  choose({ planId }: CommandPayload<"plan:choose">): CommandAck {
    if (this.#ground.busy()) return whileBusy;
    const shelved = this.#plans.get(planId);
    if (!shelved) return refuse("no-such-plan", "That plan is not there any more.");
    const chosen = chosenPlan(shelved);
    if (typeof chosen === "string") return refuse("plan-unsolvable", chosen);
    this.#chosen = chosen;
    this.#faults = [];
    this.#ground.onChosen();
    return done;
  }

  /** Puts a changed plan in the place of the chosen one; a sample's becomes a plan of its own. Then that is the chosen one. */
  async change(plan: Plan): Promise<CommandAck> {
    if (this.#ground.busy()) return whileBusy;
    if (!this.#chosen) return noPlan;
    const { summary, version } = this.#chosen;
    const before = { id: summary.id, version };
    const saved = await (summary.origin === "own" ? this.#plans.replace(before, plan) : this.#plans.addNew(plan));
    return saved.ok ? this.choose({ planId: saved.id }) : saved;
  }

  async upload({ fileName, text }: CommandPayload<"plan:upload">): Promise<CommandAck> {
    if (this.#ground.busy()) return whileBusy;
    const added = await this.#plans.add(fileName, text);
    if (!added.ok) return { ...added, code: "bad-plan" };
    const answer = this.choose({ planId: added.id });
    this.#ground.onChanged("plans");
    return answer;
  }

  setFaults({ faults }: CommandPayload<"faults:set">): CommandAck {
    if (this.#ground.busy()) return whileBusy;
    if (!this.#chosen) return noPlan;
    const chosen = chosenFaults(this.#chosen.plan, faults);
    if (!chosen.ok) return refuse("bad-fault", chosen.message);
    this.#faults = chosen.faults;
    this.#ground.onChanged("faults", "backFeed", "round");
    return done;
  }

  /** Plan and simulated vehicle as an unfinished check has left them. */
  async takeUp(left: LeftCheck): Promise<CommandAck> {
    const added = await this.#plans.add("The plan of this check", JSON.stringify(left.plan, null, 2));
    if (!added.ok) return { ...added, code: "bad-plan" };
    const chosen = this.choose({ planId: added.id });
    if (!chosen.ok || !this.#chosen) return chosen;
    const faults = chosenFaults(this.#chosen.plan, left.faults);
    this.#faults = faults.ok ? faults.faults : [];
    return done;
  }

  #chosenIs(): PlansView["chosenIs"] {
    const shelved = this.#chosen && this.#plans.get(this.#chosen.summary.id);
    if (!shelved) return this.#chosen ? "deleted" : "same";
    return shelved.version === this.#chosen?.version ? "same" : "changed";
  }
}
