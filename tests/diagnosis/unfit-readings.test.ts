import { diagnose } from "@pinwalk/host/diagnosis/diagnose.js";
import { readingsFitPlan } from "@pinwalk/host/diagnosis/readings-fit-plan.js";
import type { Readings } from "@pinwalk/host/readings/readings.js";
import { describe, expect, it } from "vitest";
import { loadCases } from "./load-cases.js";

const cases = loadCases();
const find = (name: string) => {
  const found = cases.find((one) => one.name === name);
  if (found === undefined) throw new Error(`no case ${name}`);
  return found;
};
const vehicle = find("install-002.json");
const cable = find("cable-002.json");

describe("readings that do not fit the plan", () => {
  it("are refused by name when a pin is not on the connector", () => {
    const readings: Readings = { ...vehicle.readings, rest: { ...vehicle.readings.rest, XY: 0 } };
    const fit = readingsFitPlan(vehicle.plan, readings);
    expect(fit.ok).toBe(false);
    expect(!fit.ok && fit.problems[0]?.message).toContain("XY");
  });

  it("are refused when they drove a pin that the plan has no circuit for", () => {
    const fit = readingsFitPlan(vehicle.plan, cable.readings);
    expect(!fit.ok && fit.problems.some(({ code }) => code === "not-on-plan")).toBe(true);
  });

  it("never get a confident verdict", () => {
    const findings = diagnose(vehicle.plan, cable.readings);
    expect(findings.overall).toBe("unsure");
    expect(new Set(findings.circuits.map(({ verdict }) => verdict))).toEqual(new Set(["not-judged"]));
    expect(findings.notJudged[0]?.what).toBe("readings");
  });

  it("are refused when they are of an installation and the plan is of a cable, whatever the pins are called", () => {
    const { backFeed: _none, ...bare } = vehicle.readings;
    for (const readings of [vehicle.readings, bare]) {
      const fit = readingsFitPlan(cable.plan, readings);
      expect(!fit.ok && fit.problems.some(({ code }) => code === "install-of-cable")).toBe(true);
      expect(diagnose(cable.plan, readings).overall).toBe("unsure");
    }
  });

  it("are refused when they are of a cable and the plan is of an installation with the same pins", () => {
    const pins = ["LT", "RT", "TM"];
    const drives = (cable.readings.drives ?? []).filter(({ pin }) => pins.includes(pin));
    const fit = readingsFitPlan(vehicle.plan, { ...cable.readings, lowCurrent: [], drives });
    expect(!fit.ok && fit.problems.some(({ code }) => code === "far-end-of-install")).toBe(true);
  });

  it.each([
    ["more volts than any such wiring has", { rest: { LT: 50 } }, "50.00 V on LT"],
    ["a drive beyond the limit that was not cut", { amps: 60 }, "did not cut it"],
    ["a driven pin that its supply cannot bring about", { volts: 4 }, "4.00 V on LT while it took"],
  ] as const)("cannot be true with %s, and are not judged", (_what, wrong, words) => {
    const drives = (vehicle.readings.drives ?? []).map((drive) =>
      drive.pin === "LT" && "amps" in wrong
        ? { ...drive, amps: wrong.amps }
        : drive.pin === "LT" && "volts" in wrong
          ? { ...drive, volts: { ...drive.volts, LT: wrong.volts } }
          : drive,
    );
    const rest = "rest" in wrong ? { ...vehicle.readings.rest, ...wrong.rest } : vehicle.readings.rest;
    const findings = diagnose(vehicle.plan, { ...vehicle.readings, ...(rest ? { rest } : {}), drives });
    expect(findings.overall).toBe("unsure");
    expect(findings.groups).toEqual([]);
    expect(findings.notJudged[0]?.why).toContain(words);
  });

  it("fit when they measured part of the plan only", () => {
    expect(readingsFitPlan(vehicle.plan, { ...vehicle.readings, drives: [] })).toEqual({ ok: true });
  });
});

describe("readings with missing sections", () => {
  const without = (...sections: (keyof Readings)[]): Readings => {
    const readings = { ...vehicle.readings };
    for (const section of sections) delete readings[section];
    return readings;
  };

  it("leave circuits not-judged where nothing was driven, and say so", () => {
    const findings = diagnose(vehicle.plan, without("drives"));
    expect(findings.circuits.map(({ verdict }) => verdict)).toEqual(["not-judged", "not-judged", "not-judged"]);
    expect(findings.notJudged.map(({ what }) => what)).toContain("drives");
    expect(findings.overall).toBe("unsure");
  });

  it.each(["rest", "lowCurrent"] as const)("cannot pass without %s", (section) => {
    const findings = diagnose(vehicle.plan, without(section));
    expect(findings.overall).toBe("unsure");
    expect(findings.notJudged.map(({ what }) => what)).toContain(section);
  });

  it("with nothing in them are unsure about everything", () => {
    const findings = diagnose(vehicle.plan, without("rest", "lowCurrent", "drives", "backFeed"));
    expect(findings.overall).toBe("unsure");
    expect(findings.circuits.every(({ verdict }) => verdict === "not-judged")).toBe(true);
  });
});
