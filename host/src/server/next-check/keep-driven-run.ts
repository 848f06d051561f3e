import type { BenchPort } from "../../bench/port.js";
import type { Plan } from "../../plan/plan-schema.js";
import { KeepDriven, type KeepDrivenEvent, type KeepDrivenOutcome } from "../../procedures/keep-driven.js";
import type { Readings } from "../../readings/readings.js";
import { jobEnd, type StopReason } from "../walk-fold.js";
import type { KeepDrivenView } from "./keep-driven-contract.js";

export interface KeepDrivenRunOptions {
  readonly plan: Plan;
  readonly base: Readings;
  readonly check: Readonly<Record<string, string>>;
  readonly pin: string;
  /** The browser that looks. */
  readonly holder: string;
  readonly openPort: () => Promise<BenchPort>;
  readonly onView: () => void;
}

/** One pin kept driven, as the server sees it. It adds nothing to what was measured. */
export class KeepDrivenRun {
  /** Settles when it has ended and everything is off. */
  readonly done: Promise<void>;
  readonly #options: KeepDrivenRunOptions;
  readonly #drive: KeepDriven;
  #view: KeepDrivenView;
  #stopReason: StopReason | null = null;

  constructor(options: KeepDrivenRunOptions) {
    const { plan, base, check, pin, holder, openPort } = options;
    this.#options = options;
    this.#view = { ...nothingDriven, state: "running", check, pin, holder };
    this.#drive = new KeepDriven({ plan, base, pin, port: openPort });
    this.done = this.#follow();
  }

  get view(): KeepDrivenView {
    return this.#view;
  }

  get going(): boolean {
    return this.#view.state !== "ended";
  }

  keep(who: string): void {
    if (who === this.#view.holder) this.#drive.keep();
  }

  /** A browser is gone; if it was the one that looks, everything is off. */
  left(who: string): void {
    if (who === this.#view.holder) this.stop("controller-lost");
  }

  stop(reason: StopReason): void {
    if (this.#view.state !== "running") return;
    this.#stopReason = reason;
    this.#drive.cancel();
    this.#change({ ...this.#view, state: "stopping" });
  }

  async #follow(): Promise<void> {
    for await (const event of this.#drive) this.#change(this.#fold(event));
  }

  #fold(event: KeepDrivenEvent): KeepDrivenView {
    const view = this.#view;
    switch (event.kind) {
      case "connecting":
        return view;
      case "driven":
        return { ...view, driven: true };
      case "current":
        return { ...view, amps: event.amps };
      case "ended":
        return { ...view, state: "ended", driven: false, amps: null, holder: null, end: this.#endOf(event.outcome) };
    }
  }

  #endOf(outcome: KeepDrivenOutcome): KeepDrivenView["end"] {
    const { pin } = this.#options;
    if (outcome.kind === "no-sign-of-life") {
      const message = `${pin} went off: for ten seconds no sign came that somebody still looks. All outputs are off.`;
      return { message };
    }
    const end = jobEnd(`Keeping ${pin} driven`, outcome, this.#stopReason);
    return end.kind === "judged" ? null : { message: end.message };
  }

  #change(view: KeepDrivenView): void {
    this.#view = view;
    this.#options.onView();
  }
}

/** Before a pin was kept driven. */
export const nothingDriven: KeepDrivenView = {
  state: "idle",
  hindrance: null,
  check: null,
  pin: null,
  driven: false,
  amps: null,
  holder: null,
  end: null,
};
