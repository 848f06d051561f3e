import { EmulatedBench } from "@pinwalk/host/bench/virtual/emulated-bench.js";
import { describe, expect, it } from "vitest";
import { AskedBench, imageHex, type Machine } from "../firmware/asked-bench.js";
import { leftOut } from "../firmware/left-out.js";
import { LoadedSide, steady } from "../firmware/loaded-side.js";
import { follow, watch, windowsOf } from "../firmware/watched-bench.js";
import { SimavrBench, simavrFound } from "./simavr-bench.js";

const skip = leftOut(simavrFound(), "gcc, libsimavr-dev and libelf-dev", "a watch on a second emulator");

const OHMS = 47;
const FAR_VOLTS = 12.4;
/** One count of the converter at a pin. */
const COUNT_MILLIVOLTS = 16.12;

/** Two seconds of a driven conductor; what came of it. */
function watched(bench: AskedBench<Machine>) {
  bench.run(100);
  bench.arm();
  const measurement = watch(bench, { channel: 0, mode: "drive", what: "far", below: 6_000 });
  follow(bench, measurement, 2_000);
  bench.get("off", {});
  const windows = windowsOf(bench, measurement);
  const block = bench.pushes.findLast(({ push }) => push.name === "windows")?.push;
  return {
    summary: bench.get("watched", { measurement }),
    numbers: windows.map(({ number }) => number),
    meanMillivolts: windows.slice(20).reduce((sum, { mean }) => sum + mean, 0) / (windows.length - 20),
    milliamps: block?.name === "windows" ? block.fields.current : Number.NaN,
  };
}

describe.skipIf(skip)("a watch on two emulators that share nothing", () => {
  it("loses no window on either, and shows the same", () => {
    const side = new LoadedSide();
    side.loads.set(0, steady(OHMS));
    side.far.set(0, FAR_VOLTS);
    const one = watched(new AskedBench<Machine>(new EmulatedBench({ imageHex, side }), side));
    const machine = new SimavrBench();
    try {
      machine.load(0, OHMS);
      machine.far(0, FAR_VOLTS);
      const other = watched(new AskedBench<Machine>(machine, new LoadedSide()));
      for (const { summary, numbers } of [one, other]) {
        expect(summary).toMatchObject({ end: "asked", dropped: 0, gaps: 0 });
        expect(summary.windows).toBeGreaterThan(980);
        expect(numbers).toEqual(Array.from({ length: summary.windows }, (_, at) => at));
      }
      expect(Math.abs(one.meanMillivolts - other.meanMillivolts)).toBeLessThan(COUNT_MILLIVOLTS);
      expect(Math.abs(one.milliamps - other.milliamps)).toBeLessThan(10);
    } finally {
      machine.close();
    }
  }, 120_000);
});
