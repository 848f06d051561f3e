import { benchUncertainty } from "@pinwalk/host/procedures/bench-uncertainty.js";
import { describe, expect, it } from "vitest";
import { fixturePlan, ScriptedWalk } from "./scripted-walk.js";

/** Readings of a walk on a bench that says it is calibrated and holds these constants. */
async function uncertaintyIn(constants: Readonly<Record<string, number>>, calibrated = "2026-11-20") {
  const scripted = new ScriptedWalk(fixturePlan("hatchback-round-6"));
  scripted.bench.calibrated = calibrated;
  for (const [item, value] of Object.entries(constants)) scripted.bench.constants.set(`${item} 0`, value);
  // What was read at rest is enough.
  scripted.bench.onRequest = (request) => {
    if (request.name === "arm") scripted.walk?.cancel();
    return "answered";
  };
  const outcome = await scripted.finish();
  return "readings" in outcome ? outcome.readings?.tester.uncertainty : undefined;
}

const constants = { "u-volts-scale": 250, "u-volts-offset": 80, "u-amps-scale": 600, "u-amps-offset": 55 };

describe("the uncertainty in readings", () => {
  it("is what the bench's own calibration has stated, expanded with k = 2", async () => {
    expect(await uncertaintyIn(constants)).toEqual({
      volts: { relative: 0.005, offset: 0.016 },
      amps: { relative: 0.012, offset: 0.011 },
    });
  });

  it("is that of a usual calibration where the bench states none, and of the design where it is not calibrated", async () => {
    const usual = await uncertaintyIn({});
    const design = await uncertaintyIn(constants, "-");
    expect(usual).toEqual(benchUncertainty("2026-11-20"));
    expect(design).toEqual(benchUncertainty(undefined));
    expect(design).not.toEqual(usual);
  });
});
