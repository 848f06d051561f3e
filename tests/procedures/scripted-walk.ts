import { readFileSync } from "node:fs";
import { parsePlan } from "@pinwalk/host/plan/parse-plan.js";
import type { Plan } from "@pinwalk/host/plan/plan-schema.js";
import { Walk, type WalkOptions } from "@pinwalk/host/procedures/walk.js";
import type { WalkEvent, WalkOutcome } from "@pinwalk/host/procedures/walk-events.js";
import { ManualClock } from "../link/manual-clock.js";
import { ScriptedBench } from "../link/scripted-bench.js";

/** Reads a plan of the repository. */
export function fixturePlan(name: string): Plan {
  const parsed = parsePlan(
    JSON.parse(readFileSync(new URL(`../../fixtures/plans/${name}.json`, import.meta.url), "utf8")),
  );
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
  return parsed.plan;
}

/** A walk on a bench whose answers a test writes, on a clock that the test moves. */
export class ScriptedWalk {
  readonly clock = new ManualClock();
  readonly bench = new ScriptedBench(this.clock);
  readonly events: WalkEvent[] = [];
  walk: Walk | undefined;

  constructor(readonly plan: Plan) {}

  start(options: Partial<WalkOptions> = {}): Walk {
    this.walk = new Walk({ plan: this.plan, port: this.bench, now: () => new Date(0), ...options });
    return this.walk;
  }

  /** Lets time pass until the walk has ended, then collects its events. */
  async finish(): Promise<WalkOutcome> {
    const running = this.walk ?? this.start();
    const outcome = await this.clock.until(running.outcome);
    for await (const event of running) this.events.push(event);
    return outcome;
  }

  /** What was asked of the bench, without the signs of life. */
  get asked(): string[] {
    return this.bench.heard.map(({ name }) => name).filter((name) => name !== "ping");
  }

  channelsOf(name: "low" | "drive"): number[] {
    return this.bench.heard.flatMap((request) => (request.name === name ? [request.fields.channel] : []));
  }

  get outputsOff(): boolean {
    return !this.bench.relayClosed && this.bench.drivenChannel === undefined;
  }
}
