import type { BenchDesk, DeskGround } from "../bench-desk.js";
import type { CommandAck, CommandPayload } from "../contract.js";
import type { StopReason } from "../walk-fold.js";
import type { KeepDrivenView } from "./keep-driven-contract.js";
import { KeepDrivenRun, nothingDriven } from "./keep-driven-run.js";

const done: CommandAck = { ok: true };
const refuse = (code: string, message: string): CommandAck => ({ ok: false, code, message });

/** Where a pin is put on and off that a next check needs driven. */
export class KeepDrivenDesk implements BenchDesk {
  readonly #ground: DeskGround;
  #run: KeepDrivenRun | null = null;

  constructor(ground: DeskGround) {
    this.#ground = ground;
  }

  get going(): boolean {
    return this.#run?.going === true;
  }

  view(): KeepDrivenView {
    return { ...(this.#run?.view ?? nothingDriven), hindrance: this.#hindrance() };
  }

  start(who: string, { check }: CommandPayload<"keep-driven:start">): CommandAck {
    const ground = this.#ground;
    if (ground.busy()) return refuse("walking", "Something else goes on with the bench. Stop it first.");
    const plan = ground.plan();
    const bench = ground.bench();
    const run = ground.walk()?.run;
    const hindrance = this.#hindrance();
    if (hindrance !== null || !plan || !bench || !run?.readings) return refuse("not-ready", hindrance ?? "Not ready.");
    if (run.weighing) return refuse("weighing", "An answer is still being weighed. Try again in a moment.");
    const asked = JSON.stringify(check);
    const found = run.nextCheckView().toDrive.find((one) => JSON.stringify(one.check) === asked);
    if (!found) return refuse("no-such-check", "No pin has to be driven for that, or it is not asked any more.");
    const drive = new KeepDrivenRun({
      plan,
      base: run.readings,
      ...found,
      holder: who,
      openPort: () => ground.openPort(bench),
      onView: () => ground.onChanged("keepDriven"),
    });
    this.#run = drive;
    ground.onChanged("keepDriven");
    void drive.done.then(() => ground.onEnded());
    return done;
  }

  keep(who: string): CommandAck {
    this.#run?.keep(who);
    return done;
  }

  /** Settles when everything is off. */
  async off(): Promise<CommandAck> {
    this.stop("asked");
    await this.idle();
    return done;
  }

  stop(reason: StopReason): void {
    this.#run?.stop(reason);
  }

  async idle(): Promise<void> {
    await this.#run?.done;
  }

  reset(): void {
    this.#run = null;
  }

  left(who: string): void {
    this.#run?.left(who);
  }

  #hindrance(): string | null {
    const walk = this.#ground.walk();
    if (walk?.run.view.end?.kind !== "judged") return "Walk every pin first.";
    if (!walk.same) return "Bench or vehicle were changed since the last walk: walk again first.";
    return this.#ground.hindrances()[0] ?? null;
  }
}
