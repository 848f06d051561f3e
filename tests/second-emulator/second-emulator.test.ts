import { EmulatedBench } from "@pinwalk/host/bench/virtual/emulated-bench.js";
import { describe, expect, it } from "vitest";
import { AskedBench, imageHex, type Machine } from "../firmware/asked-bench.js";
import { leftOut } from "../firmware/left-out.js";
import { LoadedSide, steady } from "../firmware/loaded-side.js";
import { disagreements, greatestDifference } from "./agreement.js";
import { farVolts, foreign, goldenSequence, loads, type Said } from "./golden-sequence.js";
import { SimavrBench, simavrFound } from "./simavr-bench.js";

const skip = leftOut(simavrFound(), "gcc, libsimavr-dev and libelf-dev", "the image on a second emulator");

interface Run {
  readonly said: Said[];
  readonly switched: string[];
}

/** What had current, in order, without the times. */
function switchedBy({ outputs }: Machine): string[] {
  const states = outputs.entries.map(({ driveMask, lowMask }) => `${driveMask}/${lowMask}`);
  return states.filter((state, at) => state !== states[at - 1]);
}

function onEmulatedBench(): Run {
  const side = new LoadedSide();
  for (const [channel, ohms] of loads) side.loads.set(channel, steady(ohms));
  for (const [channel, volts] of foreign) side.foreign.set(channel, volts);
  for (const [channel, volts] of farVolts.entries()) side.far.set(channel, volts);
  const machine = new EmulatedBench({ imageHex, side });
  const said = goldenSequence(new AskedBench(machine, side), (channel, volts) => side.foreign.set(channel, volts));
  return { said, switched: switchedBy(machine) };
}

function onSimavr(): Run {
  const machine = new SimavrBench();
  try {
    for (const [channel, ohms] of loads) machine.load(channel, ohms);
    for (const [channel, volts] of foreign) machine.foreign(channel, volts);
    for (const [channel, volts] of farVolts.entries()) machine.far(channel, volts);
    const bench = new AskedBench(machine, new LoadedSide());
    const said = goldenSequence(bench, (channel, volts) => machine.foreign(channel, volts));
    return { said, switched: switchedBy(machine) };
  } finally {
    machine.close();
  }
}

describe.skipIf(skip)("the committed image on two emulators that share nothing", () => {
  it("says the same, measures within one count of the converter and its noise, and switches the same outputs in the same order", () => {
    const one = onEmulatedBench();
    const other = onSimavr();
    expect(disagreements(one.said, other.said)).toEqual([]);
    expect(other.switched).toEqual(one.switched);
    expect(one.said.length).toBeGreaterThan(70);
    const { volts, current } = greatestDifference(one.said, other.said);
    console.info(`greatest difference: ${volts.toFixed(2)} counts of a voltage, ${current.toFixed(2)} of a current`);
  }, 120_000);
});
