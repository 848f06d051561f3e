import { isBenchError } from "@pinwalk/host/bench/bench-error.js";
import type { BenchProblemCode } from "@pinwalk/host/bench/bench-problem.js";
import { BenchSession, type BenchSetup } from "@pinwalk/host/bench/bench-session.js";
import { ManualClock } from "./manual-clock.js";
import { ScriptedBench } from "./scripted-bench.js";

export const setup: BenchSetup = { used: 0x010f, senseOnly: 0x0008, ground: 0x0100 };

/** A clock and a scripted bench: new for every test where {@link layOutBench} comes before each. */
export let clock: ManualClock;
export let bench: ScriptedBench;

export function layOutBench(): void {
  clock = new ManualClock();
  bench = new ScriptedBench(clock);
}

/** Another bench in its place, with nothing that the one before had heard. */
export function anotherBench(): void {
  bench = new ScriptedBench(clock);
}

export const namesHeard = () => bench.heard.map((request) => request.name);
export const codeOf = (promise: Promise<unknown>): Promise<BenchProblemCode | "no error" | "other error"> =>
  promise.then(
    () => "no error",
    (error: unknown) => (isBenchError(error) ? error.code : "other error"),
  );

export async function opened(): Promise<BenchSession> {
  return await clock.until(BenchSession.open(bench));
}

export async function armed(more: Partial<BenchSetup> = {}): Promise<BenchSession> {
  const session = await opened();
  await clock.until(session.configure({ ...setup, ...more }));
  await clock.until(session.arm());
  return session;
}
