import { diagnose } from "@pinwalk/host/diagnosis/diagnose.js";
import { expectedLoads } from "@pinwalk/host/plan/expected.js";
import type { InstallPlan } from "@pinwalk/host/plan/plan-schema.js";
import { compareRecords } from "@pinwalk/host/records/compare/compare-records.js";
import { changeBetween, weightedMean } from "@pinwalk/host/records/compare/measured-value.js";
import { trendPerYear } from "@pinwalk/host/records/compare/trend.js";
import type { Job } from "@pinwalk/host/records/record-schema.js";
import type { RecordStore } from "@pinwalk/host/records/store/record-store.js";
import { describe, expect, it } from "vitest";
import { cableJob, emptyStore, seeded, vehicleJob } from "./sample-job.js";

const hatchback = vehicleJob.plan as InstallPlan;

interface Day {
  readonly takenAt: string;
  readonly bondOhms?: number;
  readonly wireOhms?: Readonly<Record<string, number>>;
  readonly volts?: number;
  readonly calibratedAt?: string;
  readonly plan?: InstallPlan;
}

/** What a bench would read of a vehicle whose ground bond or wires have more ohms than planned, with a little noise. */
function walkedOn(
  { takenAt, bondOhms = 0.02, wireOhms = {}, volts = 12.8, calibratedAt = "2026-01-10", plan = hatchback }: Day,
  noise: () => number,
): Job {
  const real: InstallPlan = {
    ...plan,
    ground: { ...plan.ground, bondOhms },
    circuits: plan.circuits.map((circuit) => ({ ...circuit, contactOhms: 0.01 + (wireOhms[circuit.pin] ?? 0) })),
  };
  const readings: Job["readings"] = {
    ...vehicleJob.readings,
    takenAt,
    tester: { ...vehicleJob.readings.tester, calibratedAt },
    source: { ...vehicleJob.readings.source, volts },
    drives: expectedLoads(real, { sourceVolts: volts }).map(({ pin, amps, volts: pinVolts }) => ({
      pin,
      amps: amps + 0.002 * (noise() - 0.5),
      volts: { [pin]: pinVolts },
    })),
  };
  const withoutLow = { ...readings, lowCurrent: [], backFeed: [] };
  return { ...vehicleJob, plan, readings: withoutLow, findings: diagnose(plan, withoutLow) };
}

async function comparisonOf(store: RecordStore, jobs: readonly Job[]) {
  for (const job of jobs) await store.keep({ job });
  const comparison = compareRecords(await store.history(vehicleJob.subject.serial));
  if (!comparison) throw new Error("nothing to compare");
  return comparison;
}

describe("Comparing a vehicle's records", () => {
  it("finds that the ground path has gained 0.3 ohms, within the stated uncertainty, and says since when", async () => {
    const noise = seeded(3);
    const comparison = await comparisonOf(await emptyStore(), [
      walkedOn({ takenAt: "2025-11-25T10:00:00Z" }, noise),
      walkedOn({ takenAt: "2026-11-25T10:00:00Z", bondOhms: 0.32, volts: 12.5 }, noise),
    ]);
    const { ground, statements } = comparison;
    expect(ground.method).toBe("estimated");
    expect(ground.significant).toBe(true);
    expect(ground.gained?.uncertainty).toBeLessThan(0.1);
    expect(Math.abs((ground.gained?.value ?? 0) - 0.3)).toBeLessThan(ground.gained?.uncertainty ?? 0);
    expect(statements[0]).toMatch(/^The ground path has gained 0\.\d\d Ω ± 0\.\d\d Ω since 2025-11-25/);
  });

  it("finds nothing where nothing changed but the supply", async () => {
    const noise = seeded(4);
    const { ground, circuits } = await comparisonOf(await emptyStore(), [
      walkedOn({ takenAt: "2025-11-25T10:00:00Z", volts: 13.2 }, noise),
      walkedOn({ takenAt: "2026-11-25T10:00:00Z", volts: 12.1 }, noise),
    ]);
    expect(ground.significant).toBe(false);
    expect(circuits.filter(({ significant }) => significant)).toEqual([]);
  });

  it("blames the one circuit whose own wire has changed, and not the ground", async () => {
    const noise = seeded(5);
    const { ground, circuits } = await comparisonOf(await emptyStore(), [
      walkedOn({ takenAt: "2025-11-25T10:00:00Z" }, noise),
      walkedOn({ takenAt: "2026-11-25T10:00:00Z", wireOhms: { RT: 0.6 } }, noise),
    ]);
    expect(ground.method).toBe("not-derivable");
    const right = circuits.find(({ pin }) => pin === "RT");
    expect(right?.significant).toBe(true);
    expect(Math.abs((right?.gainedOhms?.value ?? 0) - 0.6)).toBeLessThan(right?.gainedOhms?.uncertainty ?? 0);
    expect(circuits.find(({ pin }) => pin === "LT")?.significant).toBe(false);
  });

  it("claims less when another bench measured the second time", async () => {
    const noise = seeded(6);
    const { ground, cautions } = await comparisonOf(await emptyStore(), [
      walkedOn({ takenAt: "2025-11-25T10:00:00Z" }, noise),
      walkedOn({ takenAt: "2026-11-25T10:00:00Z", bondOhms: 0.12, calibratedAt: "2026-11-01" }, noise),
    ]);
    expect(ground.significant).toBe(false);
    expect(cautions.join(" ")).toContain("calibrations");
  });

  it("leaves a record out that was put right, and says how many", async () => {
    const noise = seeded(7);
    const store = await emptyStore();
    const wrong = await store.keep({ job: walkedOn({ takenAt: "2025-11-25T10:00:00Z", bondOhms: 1 }, noise) });
    const job = walkedOn({ takenAt: "2025-11-25T11:00:00Z" }, noise);
    await store.keep({ job: { ...job, corrects: { hash: wrong.hash, why: "clamp not seated" } } });
    const { leftOut, records } = await comparisonOf(store, [walkedOn({ takenAt: "2026-11-25T10:00:00Z" }, noise)]);
    expect(leftOut).toBe(1);
    expect(records).toHaveLength(2);
  });

  it("says of one record that there is nothing to compare", async () => {
    const { statements, ground } = await comparisonOf(await emptyStore(), [vehicleJob]);
    expect(statements).toEqual(["There is one record only; nothing to compare yet."]);
    expect(ground.gained).toBeNull();
  });

  it("reads the ground of a cable from the voltage at its far end", async () => {
    const store = await emptyStore();
    for (const [takenAt, groundOhms] of [
      ["2025-11-25T10:00:00Z", 0.03],
      ["2026-11-25T10:00:00Z", 0.38],
    ] as const) {
      const drives = (cableJob.readings.drives ?? []).map((drive) => ({
        ...drive,
        farVolts: { ...drive.farVolts, GD: drive.amps * groundOhms },
      }));
      const readings = { ...cableJob.readings, takenAt, drives };
      const findings = {
        ...cableJob.findings,
        circuits: cableJob.findings.circuits.map((one) => ({ ...one, verdict: "pass" as const })),
      };
      await store.keep({ job: { ...cableJob, readings, findings } });
    }
    const comparison = compareRecords(await store.history(cableJob.subject.serial));
    expect(comparison?.ground.method).toBe("measured");
    expect(comparison?.ground.gained?.value).toBeCloseTo(0.35, 3);
    expect(comparison?.ground.significant).toBe(true);
  });
});

describe("Uncertainty of a change", () => {
  const doubt = { relative: 0.01, offset: 0.003 };

  it("loses the common share of one bench, and keeps all of two", () => {
    expect(changeBetween(2, 1.9, doubt, doubt, true).uncertainty).toBeCloseTo(Math.hypot(0.003, 0.003, 0.001), 6);
    expect(changeBetween(2, 1.9, doubt, doubt, false).uncertainty).toBeCloseTo(Math.hypot(0.023, 0.022), 6);
  });

  it("lets figures disagree only beyond their uncertainties", () => {
    const near = weightedMean([
      { value: 0.3, uncertainty: 0.05 },
      { value: 0.32, uncertainty: 0.05 },
    ]);
    expect(near).toMatchObject({ agree: true });
    expect(near.uncertainty).toBeCloseTo(0.05 / Math.SQRT2, 6);
    const apart = [
      { value: 0, uncertainty: 0.05 },
      { value: 0.3, uncertainty: 0.05 },
    ];
    expect(weightedMean(apart).agree).toBe(false);
  });
});

describe("A trend", () => {
  it("is the slope a year, and none without three figures or a day", () => {
    const point = (testedAt: string, value: number) => ({ testedAt, figure: { value, uncertainty: 1 } });
    const line = [
      point("2024-01-01T00:00:00Z", 100),
      point("2025-01-01T00:00:00Z", 98),
      point("2026-01-01T00:00:00Z", 96),
    ];
    expect(trendPerYear(line)?.value).toBeCloseTo(-2, 2);
    // Equal weights at −1, 0 and 1 years: the slope's uncertainty is that of one figure over the root of two.
    expect(trendPerYear(line)?.uncertainty).toBeCloseTo(1 / Math.SQRT2, 2);
    expect(trendPerYear(line.slice(1))).toBeUndefined();
    expect(trendPerYear([1, 2, 3].map((value) => point("2024-01-01T00:00:00Z", value)))).toBeUndefined();
  });
});
