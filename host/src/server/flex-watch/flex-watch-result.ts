import type { CablePlan } from "../../plan/plan-schema.js";
import type { FlexOutcome } from "../../procedures/flex-watch/flex-watch-events.js";

type Watched = Extract<FlexOutcome, { kind: "watched" }>;

/** The document `pinwalk-flex/1`: what a flex watch has seen, and what it was judged by. */
export interface FlexResult {
  readonly format: "pinwalk-flex/1";
  readonly watchedAt: string;
  readonly plan: string;
  readonly bench: string;
  readonly overall: Watched["overall"];
  readonly thresholds: Watched["thresholds"];
  readonly conductors: Watched["conductors"];
}

/** The document of a finished watch. */
export function flexResult(
  { plan, bench }: { readonly plan: CablePlan; readonly bench: { readonly name: string } },
  { overall, thresholds, conductors }: Watched,
): FlexResult {
  return {
    format: "pinwalk-flex/1",
    watchedAt: new Date().toISOString(),
    plan: plan.name,
    bench: bench.name,
    overall,
    thresholds,
    conductors,
  };
}
