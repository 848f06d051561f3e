import { readFileSync } from "node:fs";
import { join } from "node:path";
import type { CircuitEvidence, HealthyCircuit } from "@pinwalk/host/diagnosis/circuit-evidence.js";
import { diagnose } from "@pinwalk/host/diagnosis/diagnose.js";
import { findingsSchema } from "@pinwalk/host/diagnosis/findings.js";
import { lowCurrent } from "@pinwalk/host/diagnosis/verdicts/low-current.js";
import { type Fault, parseFault } from "@pinwalk/host/plan/fault.js";
import { parsePlan } from "@pinwalk/host/plan/parse-plan.js";
import type { Plan } from "@pinwalk/host/plan/plan-schema.js";
import { describe, expect, it } from "vitest";
import { loadCases } from "./load-cases.js";
import { simulateReadings } from "./simulate-readings.js";

function readPlan(file: string): Plan {
  const read = parsePlan(JSON.parse(readFileSync(join(import.meta.dirname, "../../fixtures/plans", file), "utf8")));
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return read.plan;
}

function faultNamed(text: string): Fault {
  const read = parseFault(text);
  if (!read.ok) throw new Error(read.message);
  return read.fault;
}

function verdictsOf(findings: ReturnType<typeof diagnose>): Record<string, string> {
  return Object.fromEntries(findings.circuits.map(({ pin, verdict }) => [pin, verdict]));
}

const hatchback = readPlan("hatchback-round-6.json");
const cable = readPlan("umbilical-blade-7-to-round-6.json");

describe("verdicts of the circuits", () => {
  it.each([
    ["open@lamp:left-rear.bright", { LT: "open", RT: "pass", TM: "pass" }],
    ["short-to-ground@wire:TM", { LT: "pass", RT: "pass", TM: "short-to-ground" }],
    ["bridge@wire:LT+wire:TM", { LT: "bridged", RT: "pass", TM: "bridged" }],
    ["swap@pin:LT+pin:TM", { LT: "swapped", RT: "pass", TM: "swapped" }],
    ["open@ground-bond", { LT: "no-ground", RT: "no-ground", TM: "no-ground" }],
    ["short-to-power@pin:RT", { LT: "pass", RT: "short-to-power", TM: "pass" }],
    ["diode-shorted@feed:RT/right-rear.bright", { LT: "pass", RT: "not-isolated", TM: "pass" }],
    ["high-resistance@wire:RT=2", { LT: "pass", RT: "low-current", TM: "pass" }],
    ["open@feed:TM/right-rear.dim", { LT: "pass", RT: "pass", TM: "low-current" }],
  ])("of the hatchback say what %s does to it, and to it alone", (fault, verdicts) => {
    const findings = diagnose(hatchback, simulateReadings(hatchback, [faultNamed(fault)]));
    expect(verdictsOf(findings)).toEqual(verdicts);
    expect(findings.overall).toBe("fail");
  });

  it.each([
    ["open@wire:S", { S: "open" }],
    ["open@pin:GD", { LT: "no-ground", RT: "no-ground", TM: "no-ground", S: "no-ground", A: "no-ground" }],
    ["swap@far:A+far:TM", { A: "swapped", TM: "swapped" }],
    ["bridge@wire:A+wire:RT", { A: "bridged", RT: "bridged" }],
    ["short-to-ground@wire:LT", { LT: "short-to-ground" }],
    ["high-resistance@far:TM=1.5", { TM: "low-current" }],
  ])("of the cable say what %s does to it, and to it alone", (fault, touched) => {
    const findings = diagnose(cable, simulateReadings(cable, [faultNamed(fault)]));
    expect(verdictsOf(findings)).toEqual({ LT: "pass", RT: "pass", TM: "pass", S: "pass", A: "pass", ...touched });
  });

  it("of a healthy vehicle pass, but left against right stays open until somebody looks", () => {
    const readings = simulateReadings(hatchback, []);
    const blind = diagnose(hatchback, readings);
    expect(verdictsOf(blind)).toEqual({ LT: "pass", RT: "pass", TM: "pass" });
    expect(blind.notJudged.map(({ what }) => what)).toEqual(["left-right-order"]);
    expect(blind.overall).toBe("unsure");
    const looked = diagnose(hatchback, { ...readings, seen: [{ pin: "LT", lit: ["left-rear.bright"] }] });
    expect(looked.overall).toBe("pass");
  });

  it("of a healthy cable pass: its far end tells the order", () => {
    expect(diagnose(cable, simulateReadings(cable, [])).overall).toBe("pass");
  });

  it("are never followed by the question whether a battery is lit", () => {
    const charged = structuredClone(hatchback);
    if (charged.kind !== "install") throw new Error("not an install plan");
    const feeds = [{ to: "battery.bright", isolation: "silicon-10a" }];
    charged.circuits.push({ pin: "A", function: "charge", wire: { awg: 10, metres: 4 }, feeds });
    charged.sockets.push({ id: "battery", lamps: { bright: { kind: "battery", volts: 12.3, ohms: 0.05 } } });
    const findings = diagnose(charged, { ...simulateReadings(charged, []), drives: [] });
    expect(findings.nextChecks.length).toBeGreaterThan(0);
    expect(findings.nextChecks.filter(({ check }) => check.look === "battery.bright")).toEqual([]);
  });

  it("are not judged where a circuit leads to no lamp: an open wire would read the same", () => {
    const bare = structuredClone(hatchback);
    if (bare.kind === "install") for (const circuit of bare.circuits) if (circuit.pin === "RT") circuit.feeds = [];
    const findings = diagnose(bare, simulateReadings(bare, []));
    expect(verdictsOf(findings)).toEqual({ LT: "pass", RT: "not-judged", TM: "pass" });
    expect(findings.notJudged.map(({ what }) => what)).toContain("load:RT");
    expect(findings.overall).toBe("unsure");
  });

  it("have a weak inrush explained by a resistance, unless another pin's drive may have warmed the lamp", () => {
    const healthy = (pin: string, lights: readonly string[]): HealthyCircuit => ({
      pin,
      function: "auxiliary",
      amps: { expected: 2, low: 1.8, high: 2.2 },
      inrushAmps: 20,
      lowVolts: {},
      driveVolts: {},
      backFeedVolts: {},
      lights,
    });
    const evidence = (pin: string, lights: readonly string[], volts = {}): CircuitEvidence => ({
      healthy: healthy(pin, lights),
      restVolts: 0,
      low: undefined,
      drive: { pin, amps: 2, volts, peakAmps: 6 },
      seen: undefined,
    });
    const readings = simulateReadings(hatchback, []);
    const reasonFor = (other: CircuitEvidence) => {
      const judged = evidence("RT", ["right-rear.bright"]);
      return lowCurrent.reasonFor(judged, { circuits: [other, judged], readings });
    };
    expect(reasonFor(evidence("LT", ["left-rear.bright"]))).toMatch(/inrush reached 6.00 A only/);
    expect(reasonFor(evidence("LT", ["left-rear.bright", "right-rear.bright"]))).toBeUndefined();
    expect(reasonFor(evidence("LT", ["left-rear.bright"], { RT: 11.9 }))).toBeUndefined();
  });

  it("may all pass while a faint fault is likely, but then the cable as a whole does not", () => {
    const walks = [0.4, 0.44, 0.48, 0.52].map((ohms) => {
      return diagnose(cable, simulateReadings(cable, [faultNamed(`high-resistance@far:TM=${ohms}`)]));
    });
    for (const { overall, groups } of walks) {
      if (overall === "pass") expect(groups[0]).toMatchObject({ text: expect.stringMatching(/^nothing is wrong/) });
      if (overall === "pass") expect(groups[0]?.probability).toBeGreaterThan(0.88);
    }
    const faint = walks.find(({ notJudged }) => notJudged.some(({ what }) => what === "faint-faults"));
    expect(new Set(faint?.circuits.map(({ verdict }) => verdict))).toEqual(new Set(["pass"]));
    expect(faint?.notJudged[0]?.why).toContain("far terminal TM");
    expect(faint?.overall).toBe("unsure");
  });

  it("say swapped when the wrong side lights up", () => {
    const readings = simulateReadings(hatchback, []);
    const findings = diagnose(hatchback, {
      ...readings,
      seen: [
        { pin: "LT", lit: ["right-rear.bright"] },
        { pin: "RT", lit: ["left-rear.bright"] },
      ],
    });
    expect(verdictsOf(findings)).toEqual({ LT: "swapped", RT: "swapped", TM: "pass" });
  });
});

describe("the made cases, which an outside program computed with another filament model", () => {
  const cases = loadCases();

  it.each(cases.filter(({ truth }) => truth.length === 0))("$name, healthy: no circuit fails", ({ plan, readings }) => {
    const findings = diagnose(plan, readings);
    expect(findings.circuits.filter(({ verdict }) => verdict !== "pass")).toEqual([]);
    expect(findings.overall).not.toBe("fail");
  });

  it.each(
    cases
      .filter(({ truth }) => truth.length > 0)
      .map((one) => ({ ...one, faults: one.truth.map(({ kind, at }) => `${kind}@${at}`).join(" ") })),
  )("$name, $faults: fails, and so do the touched circuits alone", ({ plan, readings, truth }) => {
    const findings = diagnose(plan, readings);
    expect(findingsSchema.parse(findings).overall).toBe("fail");
    const pins = findings.circuits.map(({ pin }) => pin);
    const ground = truth.some(({ at }) => /GD|ground-bond/.test(at));
    const touched = ground ? pins : pins.filter((pin) => truth.some(({ at }) => touches(at, pin)));
    const failing = findings.circuits.filter(({ verdict }) => verdict !== "pass").map(({ pin }) => pin);
    expect(failing).toEqual(touched);
  });
});

/** The hatchback's lamps by the circuit that feeds them. */
function touches(at: string, pin: string): boolean {
  if (/(pin|wire|far):/.test(at)) return new RegExp(`(pin|wire|far):${pin}(\\+|$)`).test(at);
  if (at.startsWith("feed:")) return at.startsWith(`feed:${pin}/`);
  const feeder = at.endsWith(".dim") ? "TM" : at.includes("left") ? "LT" : "RT";
  return feeder === pin;
}
