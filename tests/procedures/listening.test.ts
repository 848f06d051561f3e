import { Listening, type ListeningOptions } from "@pinwalk/host/procedures/listening/listening.js";
import type { ListeningEvent } from "@pinwalk/host/procedures/listening/listening-events.js";
import { describe, expect, it } from "vitest";
import { ManualClock } from "../link/manual-clock.js";
import { flasher, playedWindows, type Signal, turns } from "./played-signal.js";
import { PlayingBench } from "./playing-bench.js";

function listen(signal: Signal, lengthMs: number, options: Partial<ListeningOptions> = {}) {
  const clock = new ManualClock();
  const bench = new PlayingBench(clock, () => ({ windows: playedWindows(signal, lengthMs) }));
  const listening = new Listening({ port: bench, channel: 3, ...options });
  return { clock, bench, listening };
}

async function eventsOf(listening: Listening): Promise<ListeningEvent[]> {
  const events: ListeningEvent[] = [];
  for await (const event of listening) events.push(event);
  return events;
}

describe("listening to a wire", () => {
  it("tells the flasher that the bench has heard, drives nothing, and gives the bench back off", async () => {
    const { clock, bench, listening } = listen(flasher(500, 320, 360, 12), 8000, { forMs: 7900 });
    const outcome = await clock.until(listening.outcome);
    expect(outcome.kind).toBe("heard");
    if (outcome.kind !== "heard") return;
    const part = outcome.reading.layers[0]?.parts[0];
    expect(part?.kind).toBe("flashing");
    if (part?.kind === "flashing") expect(part.rate.perMinute).toBeCloseTo(60_000 / 680, 0);
    expect(bench.watches).toEqual([{ channel: 3, mode: "listen", what: "near", below: 3000 }]);
    const asked = new Set(bench.heard.map(({ name }) => name));
    for (const name of ["arm", "drive", "hold", "low"]) expect(asked).not.toContain(name);
    expect(bench.drivenChannel).toBeUndefined();
    expect(bench.timesClosed).toBeGreaterThan(0);
    const events = await eventsOf(listening);
    expect(events.at(-1)).toEqual({ kind: "ended", outcome });
    expect(events.filter(({ kind }) => kind === "heard").length).toBeGreaterThanOrEqual(6);
  });

  it("keeps the watch for as long as it is followed", async () => {
    const { clock, bench, listening } = listen(() => 12.6, 31_000, { forMs: 30_500 });
    const outcome = await clock.until(listening.outcome);
    expect(outcome.kind).toBe("heard");
    // Ten seconds without `keep` would have ended it.
    expect(bench.heard.filter(({ name }) => name === "keep").length).toBeGreaterThanOrEqual(4);
  });

  it("tells the function from what was said meanwhile", async () => {
    const { clock, listening } = listen(turns(9200, [4800]), 20_000, { forMs: 19_900 });
    const say: readonly (readonly [number, string, boolean])[] = [
      [3000, "tail", true],
      [7000, "tail", false],
      [9000, "stop", true],
      [13_900, "stop", false],
    ];
    for (const [atMs, name, on] of say) clock.after(atMs, () => listening.said(name, on));
    const outcome = await clock.until(listening.outcome);
    if (outcome.kind !== "heard") throw new Error(JSON.stringify(outcome));
    expect(outcome.functions).toMatchObject({
      from: "said",
      candidates: [{ functions: ["stop"] }],
      excluded: ["tail"],
    });
  });

  it("says how many windows were lost on the line", async () => {
    const { clock, bench, listening } = listen(() => 12.6, 2000, { forMs: 1900 });
    bench.lostBlocks = new Set([4, 5]);
    const outcome = await clock.until(listening.outcome);
    expect(outcome).toMatchObject({ kind: "heard", lostWindows: 32 });
  });

  it("ends as cancelled with everything off", async () => {
    const { clock, bench, listening } = listen(() => 12.6, 5000);
    clock.after(1000, () => listening.cancel());
    expect(await clock.until(listening.outcome)).toEqual({ kind: "cancelled", outputs: "confirmed-off" });
    expect(bench.drivenChannel).toBeUndefined();
  });

  it.each(["unkept", "silence"] as const)(
    "could not test where the bench ends the watch by itself (%s)",
    async (end) => {
      const { clock, bench, listening } = listen(() => 12.6, 5000);
      clock.after(1000, () => bench.endDrive(end));
      expect(await clock.until(listening.outcome)).toMatchObject({ kind: "could-not-test", code: "interrupted" });
    },
  );

  it("could not test where the cable is pulled", async () => {
    const { clock, bench, listening } = listen(() => 12.6, 5000);
    clock.after(1000, () => bench.unplug());
    expect(await clock.until(listening.outcome)).toMatchObject({ kind: "could-not-test", code: "port-lost" });
  });
});
