import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { AskedBench, mostChannelsOn } from "./asked-bench.js";
import { steady } from "./loaded-side.js";

const channel = fc.nat({ max: 7 });
const step = fc.oneof(
  { weight: 3, arbitrary: fc.record({ name: fc.constant("arm" as const) }) },
  {
    weight: 4,
    arbitrary: fc.record({ name: fc.constant("drive" as const), channel, most: fc.integer({ min: 10, max: 600 }) }),
  },
  { weight: 2, arbitrary: fc.record({ name: fc.constant("hold" as const), channel }) },
  { weight: 3, arbitrary: fc.record({ name: fc.constant("low" as const), channel }) },
  { weight: 1, arbitrary: fc.record({ name: fc.constant("keep" as const), measurement: fc.nat({ max: 12 }) }) },
  { weight: 1, arbitrary: fc.record({ name: fc.constantFrom("off", "rest", "clear", "status", "ping", "restart") }) },
  {
    weight: 1,
    arbitrary: fc.record({
      name: fc.constant("roles" as const),
      used: fc.nat({ max: 0x1fff }),
      senseOnly: fc.nat({ max: 0x1fff }),
    }),
  },
  { weight: 1, arbitrary: fc.record({ name: fc.constant("garbage" as const), text: fc.string({ maxLength: 80 }) }) },
  {
    weight: 1,
    arbitrary: fc.record({ name: fc.constant("foreign" as const), channel, volts: fc.constantFrom(0, 5, 12) }),
  },
  {
    weight: 1,
    arbitrary: fc.record({ name: fc.constant("short" as const), channel, ohms: fc.constantFrom(0.05, 0.7, 6) }),
  },
  { weight: 1, arbitrary: fc.record({ name: fc.constant("silence" as const) }) },
);
type Step = typeof step extends fc.Arbitrary<infer One> ? One : never;

/** Channels that must never be switched on again before the next reset, as the replies to `roles` have said. */
interface Told {
  marked: number;
}

function take(bench: AskedBench, one: Step, pauseMs: number, told: Told): void {
  switch (one.name) {
    case "garbage":
      bench.sendRaw(`${one.text.replace(/[^\x20-\x7e]/g, "?")}\n`);
      break;
    case "foreign":
      bench.side.foreign.set(one.channel, one.volts);
      break;
    case "short":
      bench.side.loads.set(one.channel, steady(one.ohms));
      break;
    case "silence":
      bench.run(1_100);
      // One second and a tick after whatever was said last.
      expect(bench.isOff).toBe(true);
      break;
    case "roles": {
      const answer = bench.ask("roles", { used: one.used, senseOnly: one.senseOnly, ground: 0x40 });
      if (answer.kind === "reply" && answer.name === "roles")
        told.marked = answer.fields.senseOnly | answer.fields.ground;
      break;
    }
    default: {
      const { name, ...fields } = one;
      const answer = bench.ask(name as "drive", fields as never);
      if (answer.kind === "reply" && name === "restart") {
        bench.await("hello", 500, false);
        told.marked = 0;
        bench.get("roles", { used: 0xff, senseOnly: 0x20, ground: 0x40 });
        told.marked = 0x60;
      }
    }
  }
  bench.run(pauseMs);
}

describe("whatever a host sends in whatever order", () => {
  it("no two channels are on, no marked one ever is, and a live pin is left alone", { timeout: 120_000 }, () => {
    const steps = fc.array(fc.tuple(step, fc.nat({ max: 120 })), { minLength: 8, maxLength: 25 });
    const property = fc.property(steps, (sequence) => {
      const bench = AskedBench.start();
      const told: Told = { marked: 0x60 };
      for (let at = 0; at < 5; at += 1) bench.side.loads.set(at, steady(4 + at));
      bench.get("roles", { used: 0xff, senseOnly: 0x20, ground: 0x40 });
      for (const [one, pauseMs] of sequence) {
        const { entries } = bench.machine.outputs;
        const from = entries.length;
        const live = [...bench.side.foreign].reduce((mask, [at, v]) => (Number(v) > 1 ? mask | (1 << at) : mask), 0);
        const before = bench.machine.outputs.last;
        take(bench, one, pauseMs, told);
        const since = entries.slice(from);
        const touched = since.reduce((mask, { driveMask, lowMask }) => mask | driveMask | lowMask, 0);
        expect(mostChannelsOn(entries)).toBeLessThanOrEqual(1);
        expect(touched & told.marked).toBe(0);
        // One that comes alive while it is driven is not seen, as the bench's own supply stands on it.
        expect(touched & live & ~(before.driveMask | before.lowMask)).toBe(0);
        expect(since.every(({ relayClosed, driveMask }) => relayClosed || driveMask === 0)).toBe(true);
      }
      bench.run(1_100);
      expect(bench.isOff).toBe(true);
    });
    fc.assert(property, { numRuns: 25, seed: Number(process.env.PINWALK_SEED ?? 1), endOnFailure: true });
  });
});
