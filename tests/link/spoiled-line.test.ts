import { BenchSession } from "@pinwalk/host/bench/bench-session.js";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { ManualClock } from "./manual-clock.js";
import { ScriptedBench } from "./scripted-bench.js";

/** What the line does to one sentence on its way. */
const mishap = fc.oneof(
  { weight: 16, arbitrary: fc.constant({ kind: "none" } as const) },
  { weight: 1, arbitrary: fc.constant({ kind: "lost" } as const) },
  {
    weight: 1,
    arbitrary: fc.record({ kind: fc.constant("flipped" as const), place: fc.nat(), bit: fc.nat({ max: 7 }) }),
  },
  { weight: 1, arbitrary: fc.record({ kind: fc.constant("cut" as const), place: fc.nat() }) },
  {
    weight: 1,
    arbitrary: fc.record({ kind: fc.constant("noise" as const), bytes: fc.uint8Array({ maxLength: 200 }) }),
  },
);
type Mishap = typeof mishap extends fc.Arbitrary<infer Value> ? Value : never;

function spoiled(line: Uint8Array, what: Mishap): Uint8Array | undefined {
  switch (what.kind) {
    case "none":
      return line;
    case "lost":
      return undefined;
    case "flipped":
      return line.map((byte, at) => (at === what.place % line.length ? byte ^ (1 << what.bit) : byte));
    case "cut":
      return line.slice(0, what.place % line.length);
    case "noise":
      return Uint8Array.from([...what.bytes, ...line]);
  }
}

const step = fc.constantFrom("rest", "arm", "low", "drive", "hold", "keep", "off", "status", "clear", "configure");
type Step = typeof step extends fc.Arbitrary<infer Value> ? Value : never;

async function take(session: BenchSession, what: Step): Promise<unknown> {
  if ((what === "drive" || what === "hold" || what === "low") && !session.armed) await session.arm();
  switch (what) {
    case "drive":
      return session.drive(2, { mostMs: 500 });
    case "hold":
      return session.hold(3);
    case "low":
      return session.low(1);
    case "configure":
      return session.configure(setup);
    default:
      return session[what]();
  }
}

const setup = { used: 0x010f, senseOnly: 0, ground: 0x0100 };

describe("on a line that loses, flips, cuts and adds bytes", () => {
  it("every question gets an answer or an error, nothing is switched on twice, and the end is always off", async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.infiniteStream(mishap),
        fc.infiniteStream(mishap),
        fc.array(step, { minLength: 1, maxLength: 8 }),
        async (onTheWayThere, onTheWayBack, steps) => {
          const clock = new ManualClock();
          const bench = new ScriptedBench(clock);
          const session = await clock.until(BenchSession.open(bench));
          bench.toBench = (line) => spoiled(line, onTheWayThere.next().value);
          bench.toHost = (line) => spoiled(line, onTheWayBack.next().value);
          const heardOf = (name: string) => bench.heard.filter((request) => request.name === name).length;
          for (const one of steps) {
            const before = heardOf(one);
            const outcome = await clock.until(
              take(session, one).then(
                (value) => ({ value }),
                (error: unknown) => ({ error }),
              ),
            );
            if (["arm", "low", "drive", "hold"].includes(one)) expect(heardOf(one) - before).toBeLessThanOrEqual(1);
            if (one === "drive" && "value" in outcome)
              expect(outcome.value).toMatchObject({ amps: 2.03, supplyVolts: 12.59 });
            if ("error" in outcome) {
              expect(outcome.error).toHaveProperty("code");
              // Said to be off, or left to its silence: either way it is off in a second.
              await clock.pass(1100);
              expect(bench.relayClosed).toBe(false);
            }
            if (session.offIsConfirmed) expect(bench.drivenChannel).toBeUndefined();
          }
          await clock.until(session.close());
          await clock.pass(1100);
          expect(bench.relayClosed).toBe(false);
          expect(bench.drivenChannel).toBeUndefined();
          await clock.pass(20_000);
          expect(clock.waiting).toBe(0);
        },
      ),
      { numRuns: 200 },
    );
  });
});
