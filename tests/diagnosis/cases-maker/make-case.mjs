import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { madeFaults } from "./made-faults.mjs";
import { madePlan } from "./made-plans.mjs";
import { seededRandom } from "./random.mjs";
import { spiceVehicle } from "./spice-vehicle.mjs";

/** One made case: plan, faults, and the readings that ngspice computes for them. The seed decides everything. */
export function makeCase(seed, { faults: howMany } = {}) {
  const random = seededRandom(seed);
  const plan = madePlan(random);
  const draw = random.uniform();
  const truth = madeFaults(plan, random, howMany ?? (draw < 0.3 ? 0 : draw < 0.8 ? 1 : 2));
  return caseOf(plan, truth, random);
}

/** The same for a given plan and given faults; the seed decides scatter, supply and weather. */
export function makeCaseOf(plan, truth, seed) {
  return caseOf(plan, truth, seededRandom(seed));
}

function caseOf(plan, truth, random) {
  const ambientC = Math.round(random.between(0, 35));
  const vehicle = spiceVehicle(plan, truth, random, ambientC);
  const source = {
    volts: Math.round(random.between(1200, 1380)) / 100,
    ohms: 0.1,
    lowVolts: 4.4,
    lowOhms: 1000,
    senseOhms: 133000,
    tripAmps: 10,
  };
  const solved = solveAll(plan, vehicle, source, ambientC);
  return { plan, readings: readingsOf(plan, solved, source, ambientC, random), truth };
}

const drivenPins = (plan) =>
  plan.kind === "install"
    ? plan.circuits.map(({ pin }) => pin)
    : plan.conductors.map(({ near }) => near).filter((pin) => pin !== "GD");
const farPins = ["LT", "RT", "TM", "S", "A", "GD"];
const node = (name) => name.replace(/[^A-Za-z0-9]/g, "_");

function solveAll(plan, vehicle, source, ambientC) {
  const pins = drivenPins(plan);
  const functions = plan.kind === "install" ? [...new Set(plan.circuits.map((circuit) => circuit.function))] : [];
  const watched = [
    ...pins.map((pin) => `pin_${pin}`),
    ...(plan.kind === "cable" ? farPins.map((pin) => `far_${pin}`) : []),
  ];
  const lines = [
    "made case",
    `.options temp=${ambientC} tnom=27 reltol=1e-5 abstol=1e-10 itl1=500 gmin=1e-11`,
    "VHOT hot 0 1",
    ...vehicle.lines,
    ...vehicle.models,
  ];
  lines.push(`VSRC src 0 ${source.volts}`, `VLOW low 0 ${source.lowVolts}`);
  for (const pin of pins)
    lines.push(
      `RD_${pin} src pin_${pin} 1e12`,
      `RL_${pin} low pin_${pin} 1e12`,
      `RS_${pin} pin_${pin} 0 ${source.senseOhms}`,
    );
  lines.push(".control", "set numdgt=7");
  const steps = [];
  const operate = (name) => {
    steps.push(name);
    lines.push("op", `echo STEP ${steps.length - 1}`, ...watched.map((one) => `print v(${one})`), "print i(vsrc)");
  };
  operate({ kind: "rest" });
  for (const pin of pins) {
    lines.push(`alter RL_${pin} = ${source.lowOhms}`);
    operate({ kind: "low", pin });
    lines.push(`alter RL_${pin} = 1e12`);
  }
  for (const pin of pins) {
    lines.push(`alter RD_${pin} = ${source.ohms}`);
    operate({ kind: "drive", pin });
    lines.push("alter VHOT = 0");
    operate({ kind: "peak", pin });
    lines.push("alter VHOT = 1", `alter RD_${pin} = 1e12`);
  }
  for (const name of functions) {
    const on = vehicle.vehicleSwitches.filter((one) => one.functions.includes(name));
    for (const one of on) lines.push(`alter ${one.id} = 0.03`);
    operate({ kind: "back-feed", functions: [name] });
    for (const one of on) lines.push(`alter ${one.id} = 1e9`);
  }
  lines.push(".endc", ".end");
  return parse(run(lines), steps, pins, plan.kind === "cable");
}

function run(lines) {
  const folder = mkdtempSync(join(tmpdir(), "made-case-"));
  try {
    const deck = join(folder, "case.cir");
    writeFileSync(deck, `${lines.join("\n")}\n`);
    // ngspice's exit code says nothing here; whether every step was solved is checked in its output.
    return spawnSync("ngspice", ["-b", deck], { encoding: "utf8" }).stdout;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function parse(text, steps, pins, isCable) {
  const solved = [];
  for (const part of text.split("STEP ").slice(1)) {
    const step = steps[Number.parseInt(part, 10)];
    const volts = {};
    const far = {};
    for (const [, kind, pin, value] of part.matchAll(/v\((pin|far)_(\w+)\) = (\S+)/gi))
      (kind === "pin" ? volts : far)[pin.toUpperCase()] = Number(value);
    const amps = -Number(/i\(vsrc\) = (\S+)/i.exec(part)?.[1]);
    if (!Number.isFinite(amps) || pins.some((pin) => volts[node(pin)] === undefined))
      throw new Error("ngspice gave no operating point");
    solved.push({ ...step, volts, amps, ...(isCable ? { far } : {}) });
  }
  if (solved.length !== steps.length) throw new Error("ngspice did not finish");
  return solved;
}

function readingsOf(plan, solved, source, ambientC, random) {
  const uncertainty = { amps: { relative: 0.01, offset: 0.003 }, volts: { relative: 0.005, offset: 0.01 } };
  const noisy = (value, { relative, offset }, digits) => {
    const half = 0.45 * (offset * random.normal() + relative * value * random.normal());
    return Number((value + half).toFixed(digits));
  };
  const table = (volts) =>
    Object.fromEntries(Object.entries(volts).map(([pin, value]) => [pin, noisy(value, uncertainty.volts, 3)]));
  const far = (one) => (one.far ? { farVolts: table(one.far) } : {});
  const of = (kind) => solved.filter((one) => one.kind === kind);
  const rest = table(of("rest")[0].volts);
  const peaks = new Map(of("peak").map(({ pin, amps }) => [pin, amps]));
  const readings = {
    format: "pinwalk-readings/1",
    takenAt: "2026-11-25T10:00:00.000Z",
    tester: { id: "made", firmware: "1.0.0", calibratedAt: "2026-11-01", uncertainty },
    ambientC,
    source,
    rest,
    lowCurrent: of("low")
      .filter(({ pin }) => Math.abs(rest[pin]) < 1)
      .map((one) => ({ pin: one.pin, volts: table(one.volts), ...far(one) })),
    drives: of("drive")
      .filter(({ pin }) => Math.abs(rest[pin]) < 1)
      .map((one) => {
        const tripped = one.amps > source.tripAmps;
        const amps = Math.max(0, noisy(tripped ? source.tripAmps : one.amps, uncertainty.amps, 4));
        const peakAmps = Number((peaks.get(one.pin) * 0.93 * Math.exp(0.08 * random.normal())).toFixed(2));
        return {
          pin: one.pin,
          amps,
          volts: table(one.volts),
          ...far(one),
          ...(tripped ? {} : { peakAmps: Math.max(0, peakAmps) }),
          tripped,
        };
      }),
  };
  if (plan.kind === "install" && random.uniform() < 0.6)
    readings.backFeed = of("back-feed").map(({ functions, volts }) => ({ vehicle: functions, volts: table(volts) }));
  return readings;
}
