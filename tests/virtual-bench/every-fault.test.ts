import { readdirSync, readFileSync } from "node:fs";
import type { Switching } from "@pinwalk/host/bench/virtual/board/analog-side.js";
import { simulatedVehicle } from "@pinwalk/host/bench/virtual/vehicle/simulated-vehicle.js";
import { adapterOf } from "@pinwalk/host/plan/adapter.js";
import { type Fault, faultPlaces, faultText } from "@pinwalk/host/plan/fault.js";
import { parsePlan } from "@pinwalk/host/plan/parse-plan.js";
import { describe, expect, it } from "vitest";

const folder = new URL("../../fixtures/plans/", import.meta.url);
const REST: Switching = { supplyVolts: 12.8, relayClosed: true, driveMask: 0, lowMask: 0 };

describe("a simulated vehicle with any fault at any place", () => {
  it.each(readdirSync(folder))("of %s answers every low-current check and drive", (file) => {
    const parsed = parsePlan(JSON.parse(readFileSync(new URL(file, folder), "utf8")));
    if (!parsed.ok) throw new Error(`${file} does not parse`);
    const { plan } = parsed;
    const channels = adapterOf(plan).near.flatMap(({ channel }) => (channel < 8 ? [channel] : []));
    const failed: string[] = [];
    for (const place of faultPlaces(plan)) {
      const instead = plan.nominalVolts === 24 ? "P21W" : "1156";
      const fault: Fault = place.kind === "wrong-lamp" ? { ...place, instead } : place;
      try {
        const { side } = simulatedVehicle(plan, [fault], 20);
        for (const channel of channels) {
          side.switchTo({ ...REST, lowMask: 1 << channel }, 0);
          side.switchTo({ ...REST, driveMask: 1 << channel }, 0);
        }
        side.switchTo(REST, 0);
        expect(side.shuntAmps(0.001)).toBeCloseTo(0, 3);
      } catch (error) {
        failed.push(`${faultText(fault)}: ${error instanceof Error ? error.message : String(error)}`);
      }
    }
    expect(failed).toEqual([]);
  });
});
