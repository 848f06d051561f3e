import type { ResetCause } from "@pinwalk/host/bench/virtual/chip/atmega328p.js";
import { describe, expect, it } from "vitest";
import { LoadedSide } from "../firmware/loaded-side.js";
import { DutyBench } from "./duty-bench.js";
import { Witness } from "./witness.js";

const LOOKED_AT_MS = 5;

/** Moments, by the instruction, in which the chip itself had its relay pin high or its output enable low. */
function momentsOn(bench: DutyBench): number[] {
  const moments: number[] = [];
  bench.stepUntilMs(bench.nowMs + LOOKED_AT_MS, () => {
    if (!bench.chipIsOff) moments.push(bench.nowMs);
  });
  return moments;
}

describe("from its first instruction on", () => {
  it.each([1, 2, 3])(
    "the chip drives neither relay nor output enable after power-up, whatever its SRAM holds (seed %i)",
    (seed) => {
      expect(momentsOn(new DutyBench(new LoadedSide(), seed))).toEqual([]);
    },
  );

  it.each(["power", "external", "brown-out", "watchdog"] satisfies ResetCause[])(
    "nor after a %s reset in mid-drive",
    (cause) => {
      const witness = new Witness(1);
      const { bench } = witness;
      witness.ask("roles", { used: 0xff, senseOnly: 0, ground: 0 });
      witness.run(5);
      witness.ask("arm", {});
      witness.run(60);
      witness.ask("drive", { channel: 2, most: 2_000 });
      witness.run(20);
      expect(bench.outputs.last.driveMask).toBe(4);
      expect(bench.chipIsOff).toBe(false);
      bench.reset(cause);
      expect(bench.outputs.last).toMatchObject({ relayClosed: false, driveMask: 0, lowMask: 0 });
      expect(momentsOn(bench)).toEqual([]);
      witness.run(50);
      expect(witness.pushes.at(-1)?.push).toMatchObject({ name: "hello", fields: { reset: cause } });
    },
  );
});
