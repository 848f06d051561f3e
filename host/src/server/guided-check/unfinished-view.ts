import type { UnfinishedCheckView } from "./guide-contract.js";
import type { LeftCheck } from "./left-check.js";

const counted = (count: number, one: string, many: string): readonly string[] =>
  count === 0 ? [] : [`${count} ${count === 1 ? one : many}`];

/** An unfinished check in one line: what it is of, and what there is of it. */
export function unfinishedView({
  id,
  begunAt,
  savedAt,
  plan,
  bench,
  walked,
  readings,
  answers,
}: LeftCheck): UnfinishedCheckView {
  const measured = [
    ...counted(readings.drives?.length ?? 0, "pin driven", "pins driven"),
    ...(walked ? [] : ["walk broken off"]),
    ...counted(readings.backFeed?.length ?? 0, "function watched", "functions watched"),
    ...counted(readings.seen?.length ?? 0, "circuit seen", "circuits seen"),
    ...counted(answers.length, "check answered", "checks answered"),
  ];
  return { id, planName: plan.name, benchName: bench.name, begunAt, savedAt, done: measured.join(", ") };
}
