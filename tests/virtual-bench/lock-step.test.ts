import { sealLine } from "@pinwalk/firmware-protocol/line-seal.js";
import { BenchSession } from "@pinwalk/host/bench/bench-session.js";
import type { OutputState } from "@pinwalk/host/bench/virtual/output-log.js";
import { openVirtualBench, type VirtualBench } from "@pinwalk/host/bench/virtual/virtual-bench.js";
import { adapterOf } from "@pinwalk/host/plan/adapter.js";
import { afterEach, describe, expect, it } from "vitest";
import { hatchback } from "./sample-plans.js";

const open: VirtualBench[] = [];

async function fastBench(seed = 1): Promise<VirtualBench> {
  const bench = await openVirtualBench({ plan: hatchback, pace: "fast", seed });
  open.push(bench);
  return bench;
}

afterEach(async () => {
  for (const bench of open.splice(0)) await bench.close();
});

function passes(bench: VirtualBench, milliseconds: number): Promise<void> {
  return new Promise((resolve) => {
    bench.clock.after(milliseconds, resolve);
  });
}

/** Stops this thread as a long calculation would. */
function blockThread(milliseconds: number): void {
  Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, milliseconds);
}

const { usedMask, senseOnlyMask, groundMask } = adapterOf(hatchback);
const setup = { used: usedMask, senseOnly: senseOnlyMask, ground: groundMask };
const hex = (mask: number) => mask.toString(16).toUpperCase().padStart(4, "0");
const HOLD_LINES = [`?01 roles ${hex(usedMask)} ${hex(senseOnlyMask)} ${hex(groundMask)}`, "?02 arm", "?03 hold 1"];

/** Arms and holds channel 1 without a session, so that nothing keeps the bench alive; gives what is heard from then on. */
async function heldWithoutKeepAlive(bench: VirtualBench): Promise<{ heard: () => string; since: number }> {
  let heard = "";
  bench.onBytes((bytes) => {
    heard += Buffer.from(bytes).toString("latin1");
  });
  await passes(bench, 50);
  for (const line of HOLD_LINES) {
    bench.write(sealLine(line));
    await passes(bench, 200);
  }
  expect(heard).toContain("=03 hold ");
  return { heard: () => heard, since: bench.clock.nowMs() - 200 };
}

describe("a virtual bench in lock-step", () => {
  it("does not judge the host silent while the host thinks for longer than the bench's patience would last", async () => {
    const bench = await fastBench();
    const session = await BenchSession.open(bench);
    await session.configure(setup);
    await session.arm();
    let traces = 0;
    const driven = await session.drive(1, {
      mostMs: 4000,
      onTrace: () => {
        traces += 1;
        // At this bench's speed one of these would be seconds of emulated time.
        if (traces % 5 === 1) blockThread(100);
      },
    });
    expect(traces).toBeGreaterThan(5);
    expect(driven.end).toBe("settled");
  });

  it("goes silent after one second of emulated time when the host's timers run but nothing is said", async () => {
    const bench = await fastBench();
    const outputs: OutputState[] = [];
    bench.onOutputs((state) => outputs.push(state));
    const { heard, since } = await heldWithoutKeepAlive(bench);
    await passes(bench, 3000);
    expect(heard()).toMatch(/~ended \d+ silence/);
    const off = outputs.find(({ atMs, driveMask }) => atMs > since && driveMask === 0);
    expect((off?.atMs ?? 0) - since).toBeGreaterThan(950);
    expect((off?.atMs ?? 0) - since).toBeLessThan(1100);
  });

  it("lets no time pass while the host has neither timers nor bytes", async () => {
    const bench = await fastBench();
    const { heard } = await heldWithoutKeepAlive(bench);
    const nowMs = bench.clock.nowMs();
    const before = heard();
    blockThread(30);
    for (let round = 0; round < 20; round += 1) {
      const view = await bench.look();
      expect(view.outputs.driveMask).toBe(2);
      expect(view.nowMs).toBe(nowMs);
    }
    expect(bench.clock.nowMs()).toBe(nowMs);
    expect(heard()).toBe(before);
  });

  it("answers a line although the host has no timer running", async () => {
    const bench = await fastBench();
    const reply = await new Promise<string>((resolve) => {
      let heard = "";
      bench.onBytes((bytes) => {
        heard += Buffer.from(bytes).toString("latin1");
        if (heard.includes("=07 ping")) resolve(heard);
      });
      bench.write(sealLine("?07 ping"));
      bench.write(sealLine("?07 ping"));
      bench.write(sealLine("?07 ping"));
    });
    expect(reply).toContain("=07 ping");
  });

  it("runs timers in the order of their moments, at their moments", async () => {
    const bench = await fastBench();
    const startMs = bench.clock.nowMs();
    const fired: [string, number][] = [];
    const note = (name: string) => () => fired.push([name, Math.round(bench.clock.nowMs() - startMs)]);
    bench.clock.after(30, note("third"));
    bench.clock.after(10, note("first"));
    const cancelled = bench.clock.after(15, note("cancelled"));
    bench.clock.after(20, note("second"));
    cancelled.cancel();
    await passes(bench, 40);
    cancelled.cancel();
    expect(fired).toEqual([
      ["first", 10],
      ["second", 20],
      ["third", 30],
    ]);
  });

  it("goes on for a host that asks for timers without delay, over and over", async () => {
    const bench = await fastBench();
    let rounds = 0;
    await new Promise<void>((resolve) => {
      const again = () => {
        rounds += 1;
        if (rounds === 200) resolve();
        else bench.clock.after(0, again);
      };
      again();
    });
    expect(bench.clock.nowMs()).toBeGreaterThan(0);
  });

  it("keeps what the bench said before anybody listened", async () => {
    const bench = await fastBench();
    await passes(bench, 100);
    let heard = "";
    bench.onBytes((bytes) => {
      heard += Buffer.from(bytes).toString("latin1");
    });
    expect(heard).toMatch(/^\n~hello /);
  });

  it("gives the same readings at the same emulated moments in every run", async () => {
    const run = async () => {
      const bench = await fastBench(11);
      const outputs: OutputState[] = [];
      bench.onOutputs((state) => outputs.push(state));
      const session = await BenchSession.open(bench);
      await session.configure(setup);
      const rest = await session.rest();
      await session.arm();
      const driven = await session.drive(0, { mostMs: 4000 });
      await session.off();
      return { rest, driven, outputs, endMs: bench.clock.nowMs() };
    };
    expect(await run()).toEqual(await run());
  });
});
