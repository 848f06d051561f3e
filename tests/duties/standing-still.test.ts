import { describe, expect, it } from "vitest";
import type { Hang } from "./duty-bench.js";
import { Witness } from "./witness.js";

/** 32 768 periods of its 128 kHz (data sheet, table 11-2: "0.25 s"), up to 5 ms without a conversion before it is no longer patted, and a tick. */
const WATCHDOG_MS = 256 + 5 + 1;

function armedWitness(): Witness {
  const witness = new Witness(1);
  witness.ask("roles", { used: 0xff, senseOnly: 0, ground: 0 });
  witness.run(5);
  witness.ask("arm", {});
  witness.run(60);
  return witness;
}

describe("a program that stands still", () => {
  const hangs: readonly Hang[] = ["spins", "spins without interrupts", "has a dead converter"];
  const outputs = [
    ["in a drive", { name: "drive", fields: { channel: 3, most: 9_000 } }],
    ["in a hold", { name: "hold", fields: { channel: 3 } }],
    ["armed, with nothing on", undefined],
  ] as const;

  it.each(hangs.flatMap((how) => outputs.map(([when, request]) => [how, when, request] as const)))(
    "because it %s, %s, is off when the watchdog bites, and greets as after one",
    (how, _when, request) => {
      const witness = armedWitness();
      const { bench } = witness;
      if (request !== undefined) witness.ask(request.name, request.fields as never);
      witness.run(30);
      expect(bench.outputs.last).toMatchObject({ relayClosed: true, driveMask: request === undefined ? 0 : 8 });
      const since = witness.nowMs;
      bench.hang(how);
      // The host keeps talking, so that silence is not what ends it.
      for (let rounds = 0; rounds < 10 && bench.outputs.last.relayClosed; rounds += 1) {
        witness.ask("ping", {});
        witness.run(100);
      }
      expect(bench.outputs.last).toMatchObject({ relayClosed: false, driveMask: 0, lowMask: 0 });
      const off = bench.outputs.entries.find(({ atMs, relayClosed }) => atMs > since && !relayClosed);
      expect((off?.atMs ?? Number.NaN) - since).toBeLessThan(WATCHDOG_MS);
      bench.mend();
      witness.run(600);
      const greeting = witness.pushes.find(({ atMs, push }) => atMs > since && push.name === "hello");
      expect(greeting?.push.fields).toMatchObject({ reset: "watchdog" });
      expect(bench.outputs.last.relayClosed).toBe(false);
    },
  );
});
