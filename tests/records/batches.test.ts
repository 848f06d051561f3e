import { batchCsv } from "@pinwalk/host/records/batch/batch-csv.js";
import { batchReport } from "@pinwalk/host/records/batch/batch-report.js";
import { capabilityOf } from "@pinwalk/host/records/batch/capability.js";
import { isOutlier, modifiedScores, spreadOf } from "@pinwalk/host/records/batch/spread.js";
import { describe, expect, it } from "vitest";
import { cableJob, emptyStore, seeded } from "./sample-job.js";

const spreadLike = (mean: number, deviation: number, count: number) => ({
  count,
  mean,
  deviation,
  median: mean,
  least: 0,
  most: 0,
});

describe("Capability", () => {
  it("is that of the handbook's example: limits 8 and 20, mean 16, deviation 2", () => {
    // NIST/SEMATECH e-Handbook of Statistical Methods, 6.1.6: Cp 1.0, Cpk 0.6667.
    const capability = capabilityOf(spreadLike(16, 2, 50), { low: 8, high: 20 });
    expect(capability?.cp).toBeCloseTo(1, 6);
    expect(capability?.cpk).toBeCloseTo(0.6667, 4);
    expect(capability?.cpkLow).toBeLessThan(0.6667);
  });

  it("takes one limit where there is one, and is silent without limits, spread, or a second piece", () => {
    expect(capabilityOf(spreadLike(1, 0.1, 9), { high: 1.6 })).toMatchObject({ cp: null, cpk: expect.closeTo(2, 6) });
    expect(capabilityOf(spreadLike(1, 0.1, 9), {})).toBeNull();
    expect(capabilityOf(spreadLike(1, 0, 9), { high: 2 })).toBeNull();
    expect(capabilityOf(spreadLike(1, 0.1, 1), { high: 2 })).toBeNull();
  });
});

describe("Spread and outliers", () => {
  it("gives mean, sample deviation and median", () => {
    expect(spreadOf([4, 1, 3, 2])).toMatchObject({
      mean: 2.5,
      median: 2.5,
      least: 1,
      most: 4,
      deviation: expect.closeTo(1.290994, 6),
    });
    expect(spreadOf([])).toBeUndefined();
  });

  it("scores by the median's own deviation, so that one odd value cannot hide itself", () => {
    // 0.6745 (x − median) / MAD, by hand: median 10, MAD 1, so 20 scores 6.745.
    const scores = modifiedScores([8, 9, 10, 10, 11, 12, 20], 0);
    expect(scores.at(-1)).toBeCloseTo(6.745, 3);
    expect(scores.map(isOutlier)).toEqual([false, false, false, false, false, false, true]);
    expect(modifiedScores([1, 1, 1, 9], 0)).toEqual([0, 0, 0, 0]);
  });
});

describe("A batch of cables", () => {
  it("names the cable that stands apart, counts the newest test of each, and gives capability", async () => {
    const store = await emptyStore();
    const noise = seeded(9);
    const keep = async (serial: string, tailOhms: number, takenAt: string) => {
      const drives = (cableJob.readings.drives ?? []).map((drive) => {
        const far = {
          ...drive.farVolts,
          LT: 0,
          RT: 0,
          [drive.pin]: (drive.volts[drive.pin] ?? 0) - drive.amps * (0.03 + 0.004 * noise()),
        };
        if (drive.pin === "TM") far.TM = (drive.volts.TM ?? 0) - drive.amps * tailOhms;
        return { ...drive, farVolts: far };
      });
      const circuits = cableJob.findings.circuits.map((one) => ({ ...one, verdict: "pass" as const }));
      const findings = { ...cableJob.findings, overall: "pass" as const, circuits };
      const job = {
        ...cableJob,
        findings,
        batch: "W48",
        subject: { kind: "cable" as const, serial },
        readings: { ...cableJob.readings, drives, takenAt },
      };
      await store.keep({ job });
    };
    for (let index = 1; index <= 9; index++)
      await keep(`C-${index}`, 0.03 + 0.004 * noise(), `2026-11-2${index}T10:00:00Z`);
    await keep("C-4", 0.9, "2026-11-30T10:00:00Z");
    const report = batchReport("W48", await store.batch("W48"), { mostOhms: 0.2 });
    expect(report).toMatchObject({ tested: 9, passed: 9, retested: 1, failed: [] });
    const tail = report.quantities.find(({ pin, quantity }) => pin === "TM" && quantity === "resistance");
    expect(tail?.outliers.map(({ serial }) => serial)).toEqual(["C-4"]);
    expect(tail?.capability?.cpk).toBeLessThan(1);
    const stop = report.quantities.find(({ pin, quantity }) => pin === "S" && quantity === "resistance");
    expect(stop?.outliers).toEqual([]);
    expect(stop?.capability?.cpk).toBeGreaterThan(10);
    const lines = batchCsv(report).trimEnd().split("\r\n");
    expect(lines).toHaveLength(1 + report.quantities.length);
    expect(lines.find((line) => line.startsWith("W48,TM,") && line.includes("resistance"))).toContain("C-4");
  });
});
