import { BenchSession } from "@pinwalk/host/bench/bench-session.js";
import { seededFrontEndErrors } from "@pinwalk/host/bench/virtual/board/front-end-errors.js";
import { Calibrating, type CalibratingOptions } from "@pinwalk/host/procedures/calibration/calibrating.js";
import { calibrationDocumentSchema } from "@pinwalk/host/procedures/calibration/calibration-document.js";
import type { CalibrationStep } from "@pinwalk/host/procedures/calibration/calibration-steps.js";
import { describe, expect, it } from "vitest";
import { BenchInThread } from "./bench-in-thread.js";
import { CalibrationRig, noErrors, type RigErrors } from "./calibration-rig.js";

/** A bench of 1 % parts at their worst, every channel different. */
const tolerances: RigErrors = {
  near: (channel) => ({ gain: 1 + 0.002 * (channel - 6), offset: 0.004 * channel }),
  far: (channel) => ({ gain: 1 - 0.0018 * (channel - 6), offset: 0.05 - 0.004 * channel }),
  supply: { gain: 0.985, offset: 0.03 },
  current: { gain: 1.022, offset: 0.025 },
  low: { volts: 4.31, ohms: 1080 },
};

const meter = { relative: 0.001, offset: 0.003 };
const resistors = [
  { value: 10, u: 0.02 },
  { value: 4.7, u: 0.01 },
  { value: 2.2, u: 0.005 },
];
const lowResistor = { value: 1000, u: 2 };
const joined = [11, 7, 3];
const supplies = [12.8, 15];

/** Does what a step asks for, and gives what an exact meter shows. */
function obey(rig: CalibrationRig, { id, index }: CalibrationStep): number {
  rig.joinedVolts = id === "joined" ? joined[index] : undefined;
  rig.loadOhms =
    id === "resistor" ? (resistors[index]?.value ?? 0) : id === "low-resistor" ? 1000 : Number.POSITIVE_INFINITY;
  return rig.joinedVolts ?? rig.supply;
}

async function calibrated(rig: CalibrationRig, bench: BenchInThread, options: Partial<CalibratingOptions> = {}) {
  const calibrating = new Calibrating({
    port: bench,
    meter,
    resistors,
    lowResistor,
    serial: "bench-7",
    now: () => new Date("2026-11-25T12:00:00Z"),
    ...options,
  });
  for await (const event of calibrating) {
    if (event.kind !== "step") continue;
    const volts = obey(rig, event.step);
    if (event.step.id !== "other-supply") calibrating.answer(volts);
    else {
      rig.supply = supplies[1] ?? 0;
      bench.emulated.setSupply(rig.supply);
      // The bench looks at its supply four times a second.
      bench.emulated.runForMs(400);
      calibrating.answer(rig.supply);
    }
  }
  return await calibrating.outcome;
}

/** A bench that reads what it drives; gives errors of its readings against the truth. */
async function errorsOf(rig: CalibrationRig, eeprom: Uint8Array) {
  rig.supply = 12.8;
  const bench = new BenchInThread(rig, { eeprom, seed: 99 });
  const session = await BenchSession.open(bench);
  await session.configure({ used: 0x1fff, senseOnly: 0, ground: 0, far: true });
  rig.joinedVolts = 9;
  const { volts, farVolts = [], supplyVolts } = await session.rest();
  rig.joinedVolts = undefined;
  rig.loadOhms = 3.3;
  await session.arm();
  const drive = await session.drive(0, { mostMs: 1500 });
  const amps = drive.amps - 12.8 / (0.1 + 1 / (1 / 3.3 + 1 / 133_000));
  const { calibratedAt, serial } = session.identity;
  const stated = await session.statedUncertainty();
  await session.close();
  const farthest = (values: readonly (number | undefined)[]) =>
    Math.max(...values.map((one = 99) => Math.abs(one - 9)));
  return {
    calibratedAt,
    serial,
    stated,
    pins: Math.max(farthest(volts), farthest(farVolts)),
    supply: Math.abs(supplyVolts - 12.8),
    amps: Math.abs(amps),
  };
}

describe("calibrating the emulated bench against a meter and known resistors", () => {
  it("shrinks the errors of a bench of 1 % parts to what it then claims, also after a power cut", async () => {
    const rig = new CalibrationRig(tolerances);
    const bench = new BenchInThread(rig);
    const before = await errorsOf(rig, new Uint8Array(1024).fill(0xff));
    rig.supply = 12.8;
    const outcome = await calibrated(rig, bench);
    if (outcome.kind !== "calibrated") throw new Error(JSON.stringify(outcome));
    const { document } = outcome;
    expect(calibrationDocumentSchema.parse(document)).toEqual(document);
    expect(document).toMatchObject({ calibratedAt: "2026-11-25", dueAt: "2027-11-25", bench: { serial: "bench-7" } });
    const after = await errorsOf(rig, Uint8Array.from(bench.emulated.eeprom));
    expect(after).toMatchObject({ calibratedAt: "2026-11-25", serial: "bench-7" });
    // The bench itself carries what its calibration has stated.
    expect(before.stated).toBeUndefined();
    expect(after.stated).toEqual(document.uncertainty);
    const { volts, amps } = document.uncertainty;
    const claimed = (part: typeof volts, value: number) => 2 * Math.hypot(part.relative * value, part.offset);
    expect(before.pins).toBeGreaterThan(3 * claimed(volts, 9));
    expect(before.amps).toBeGreaterThan(3 * after.amps);
    expect(after.pins).toBeLessThan(claimed(volts, 9));
    expect(after.supply).toBeLessThan(claimed(volts, 12.8));
    expect(after.amps).toBeLessThan(claimed(amps, 3.8));
    const { lowSource } = document.constants;
    expect(Math.abs(lowSource.volts.value - 4.31)).toBeLessThan(2 * lowSource.volts.u);
    expect(Math.abs(lowSource.ohms.value - 1080)).toBeLessThan(2 * lowSource.ohms.u);
  }, 60_000);

  it.each([
    ["board 1 of many", seededFrontEndErrors(1)],
    ["board 2 of many", seededFrontEndErrors(2)],
    [
      "a board whose amplifier's zero lies below the converter's",
      { ...seededFrontEndErrors(3), fineOffsetVolts: -0.01 },
    ],
  ])(
    "keeps every reading of %s within the uncertainty that it is given",
    async (_, frontEndErrors) => {
      const rig = new CalibrationRig({ ...noErrors, low: frontEndErrors.lowSource });
      const bench = new BenchInThread(rig, { frontEndErrors });
      const outcome = await calibrated(rig, bench);
      if (outcome.kind !== "calibrated") throw new Error(JSON.stringify(outcome));
      const { uncertainty, constants } = outcome.document;
      const claimed = ({ relative, offset }: typeof uncertainty.amps, value: number) =>
        2 * Math.hypot(relative * value, offset);

      rig.supply = 12.8;
      rig.joinedVolts = undefined;
      rig.loadOhms = Number.POSITIVE_INFINITY;
      const after = new BenchInThread(rig, { eeprom: Uint8Array.from(bench.emulated.eeprom), seed: 7, frontEndErrors });
      const session = await BenchSession.open(after);
      await session.configure({ used: 0x1fff, senseOnly: 0, ground: 0, far: true });
      for (const truth of [0.5, 6, 12.5]) {
        rig.joinedVolts = truth;
        const { volts, farVolts = [] } = await session.rest();
        for (const one of [...volts, ...farVolts]) {
          expect(Math.abs((one ?? 99) - truth)).toBeLessThan(claimed(uncertainty.volts, truth));
        }
      }
      rig.joinedVolts = undefined;
      await session.arm();
      for (const ohms of [2.5, 12, 200, 1e6]) {
        rig.loadOhms = ohms;
        const truth = 12.8 / (0.1 + 1 / (1 / ohms + 1 / 133_000));
        const { amps, supplyVolts } = await session.drive(0, { mostMs: 1500 });
        expect(Math.abs(amps - truth)).toBeLessThan(claimed(uncertainty.amps, truth));
        expect(Math.abs(supplyVolts - 12.8)).toBeLessThan(claimed(uncertainty.volts, 12.8));
      }
      await session.close();
      const { volts, ohms } = constants.lowSource;
      expect(Math.abs(volts.value - frontEndErrors.lowSource.volts)).toBeLessThan(2 * volts.u);
      expect(Math.abs(ohms.value - frontEndErrors.lowSource.ohms)).toBeLessThan(2 * ohms.u);
      // The last board's claim says what it hides; the others' says what a good board is.
      const least = frontEndErrors.fineOffsetVolts < 0 ? 0.014 : 0.004;
      expect(uncertainty.amps.offset).toBeGreaterThan(least);
      expect(uncertainty.amps.offset).toBeLessThan(least + 0.008);
    },
    60_000,
  );

  it("writes nothing when a reading is a slip of the pen", async () => {
    const rig = new CalibrationRig(noErrors);
    const bench = new BenchInThread(rig);
    const calibrating = new Calibrating({ port: bench, meter, resistors, lowResistor });
    for await (const event of calibrating) if (event.kind === "step") calibrating.answer(1.28);
    expect(await calibrating.outcome).toMatchObject({ kind: "could-not-test", code: "unlikely" });
    expect(Uint8Array.from(bench.emulated.eeprom).every((byte) => byte === 0xff)).toBe(true);
  }, 20_000);

  it("writes nothing and leaves everything off when it is cancelled at a step", async () => {
    const rig = new CalibrationRig(noErrors);
    const bench = new BenchInThread(rig);
    const calibrating = new Calibrating({ port: bench, meter, resistors, lowResistor });
    for await (const event of calibrating) {
      if (event.kind !== "step") continue;
      if (event.step.id === "low-open") calibrating.cancel();
      else if (event.step.optional) calibrating.skip();
      else calibrating.answer(obey(rig, event.step));
    }
    expect((await calibrating.outcome).kind).toBe("cancelled");
    expect(bench.emulated.outputs.last.relayClosed).toBe(false);
    expect(Uint8Array.from(bench.emulated.eeprom).every((byte) => byte === 0xff)).toBe(true);
  }, 20_000);
});
