import { type BenchCalibration, designCalibration, roundedCalibration } from "@pinwalk/host/bench/bench-calibration.js";
import { BenchSession } from "@pinwalk/host/bench/bench-session.js";
import { BOARD } from "@pinwalk/host/bench/virtual/board/board-values.js";
import { type FrontEndErrors, seededFrontEndErrors } from "@pinwalk/host/bench/virtual/board/front-end-errors.js";
import { EmulatedBench } from "@pinwalk/host/bench/virtual/emulated-bench.js";
import { openVirtualBench } from "@pinwalk/host/bench/virtual/virtual-bench.js";
import { describe, expect, it } from "vitest";
import { AskedBench, imageHex } from "../firmware/asked-bench.js";
import { LoadedSide, steady } from "../firmware/loaded-side.js";
import { hatchback } from "./sample-plans.js";

const errors = seededFrontEndErrors(7);

/** The constants that would undo such a board exactly. */
function undoing(board: FrontEndErrors): BenchCalibration {
  const volts = (gain: number) => ({ gain: board.reference / gain, offset: 0 });
  const amps = (gain: number, offsetVolts: number, voltsPerAmp: number) => ({
    gain: board.reference / gain,
    offset: offsetVolts / board.reference / voltsPerAmp,
  });
  return {
    current: amps(board.fineGain, board.fineOffsetVolts, BOARD.shuntOhms * BOARD.fineGain),
    peak: amps(board.coarseGain, board.coarseOffsetVolts, BOARD.shuntOhms * BOARD.coarseGain),
    supply: volts(board.supplyGain),
    near: board.nearGain.map(volts),
    far: board.farGain.map(volts),
    lowSource: board.lowSource,
  };
}

describe("a board that differs from its design", () => {
  it("is the same for the same seed, another for another, and within its parts' tolerances", () => {
    expect(seededFrontEndErrors(7)).toEqual(errors);
    expect(seededFrontEndErrors(8).nearGain).not.toEqual(errors.nearGain);
    for (const gain of [...errors.nearGain, ...errors.farGain, errors.supplyGain]) {
      expect(Math.abs(gain - 1)).toBeLessThan(0.016);
    }
    expect(new Set(errors.nearGain).size).toBe(13);
  });

  it("shows it in what is read, by as much as it differs", () => {
    const side = new LoadedSide();
    const bench = new AskedBench(new EmulatedBench({ imageHex, side, frontEndErrors: errors }), side);
    bench.run(60);
    for (let channel = 0; channel < 13; channel++) {
      side.foreign.set(channel, 12);
      side.far.set(channel, 12);
    }
    const { measurement } = bench.get("rest", {});
    for (const [name, gains] of [
      ["near", errors.nearGain],
      ["far", errors.farGain],
    ] as const) {
      bench.get("volts", { measurement, side: name }).volts.forEach((millivolts, channel) => {
        const expected = (12_000 * (gains[channel] ?? 1)) / errors.reference;
        expect(Math.abs((millivolts ?? 0) - expected)).toBeLessThan(9);
      });
    }
    side.foreign.clear();
    side.loads.set(0, steady(6));
    bench.arm();
    bench.get("drive", { channel: 0, most: 1_000 });
    const { fields } = bench.await("ended", 300);
    const offset = errors.fineOffsetVolts / 0.4;
    expect(Math.abs(fields.current / 1000 - ((12.8 / 6.1) * errors.fineGain + offset) / errors.reference)).toBeLessThan(
      0.01,
    );
  });

  it("is undone by the right constants, through a session, for good", async () => {
    const bench = await openVirtualBench({ plan: hatchback, pace: "fast", frontEndErrors: errors });
    const session = await BenchSession.open(bench);
    expect(await session.calibration()).toEqual(roundedCalibration(designCalibration));
    const right = roundedCalibration(undoing(errors));
    await session.stage(right);
    expect(session.identity.calibratedAt).toBeUndefined();
    await session.setSerial("bench-12");
    expect(await session.store("2026-11-25")).toBe(1);
    expect(session.identity).toMatchObject({ calibratedAt: "2026-11-25", serial: "bench-12" });
    expect(Math.abs((await session.selfCheck()).supplyVolts - 12.8)).toBeLessThan(0.012);
    const eeprom = await bench.eeprom();
    await session.close();

    const again = await openVirtualBench({ plan: hatchback, pace: "fast", frontEndErrors: errors, eeprom });
    const later = await BenchSession.open(again);
    expect(later.identity).toMatchObject({ calibratedAt: "2026-11-25", serial: "bench-12" });
    expect(await later.calibration()).toEqual(right);
    expect(Math.abs((await later.selfCheck()).supplyVolts - 12.8)).toBeLessThan(0.012);
    await later.close();
  });
});
