import { spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { filamentConstants } from "@pinwalk/host/circuit/filament.js";
import { prepareNetwork } from "@pinwalk/host/circuit/prepared-network.js";
import { attachBench, benchParts, referenceBenchSource } from "@pinwalk/host/plan/attach-bench.js";
import { drivenPins } from "@pinwalk/host/plan/expected.js";
import { parsePlan } from "@pinwalk/host/plan/parse-plan.js";
import { planNetwork } from "@pinwalk/host/plan/plan-network.js";

export const title = "Solver: operating points per second, beside ngspice on the same network in the same run";

const plans = new URL("../../fixtures/plans/", import.meta.url);

/** Seconds per call, best of several rounds of at least 0.2 s. */
function secondsPerCall(call) {
  for (let warm = 0; warm < 500; warm++) call(warm);
  let best = Number.POSITIVE_INFINITY;
  for (let round = 0; round < 3; round++) {
    const start = process.hrtime.bigint();
    let calls = 0;
    let seconds = 0;
    while (seconds < 0.2) {
      for (let at = 0; at < 100; at++) call(calls++);
      seconds = Number(process.hrtime.bigint() - start) / 1e9;
    }
    best = Math.min(best, seconds / calls);
  }
  return best;
}

/** ngspice's own seconds per operating point: one process with many, less one with few. Undefined without ngspice. */
function spiceSecondsPerPoint(parts, reference) {
  const names = new Map([[reference, "0"]]);
  const name = (node) => {
    if (!names.has(node)) names.set(node, `n${names.size}`);
    return names.get(node);
  };
  const lines = parts.flatMap((part, n) => {
    if (part.kind === "resistor") return [`r${n} ${name(part.a)} ${name(part.b)} ${Math.max(part.ohms, 1e-6)}`];
    if (part.kind === "source")
      return [`v${n} ${name(part.plus)} x${n} ${part.volts}`, `r${n} x${n} ${name(part.minus)} ${part.ohms}`];
    if (part.kind === "diode") {
      const { saturationAmps, ideality, seriesOhms } = part.model;
      return [
        `d${n} ${name(part.anode)} ${name(part.cathode)} dm${n}`,
        `.model dm${n} d (is=${saturationAmps} n=${ideality} rs=${seriesOhms})`,
      ];
    }
    if (part.kind === "led") {
      const { amps, volts, kneeVolts } = part.model;
      const across = `v(${name(part.anode)},${name(part.cathode)})`;
      return [
        `b${n} ${name(part.anode)} ${name(part.cathode)} i=${amps / (volts - kneeVolts)}*uramp(${across}-${kneeVolts})`,
      ];
    }
    const { coldOhms, kneeVolts, exponent } = filamentConstants(part.model, 20);
    const across = `v(${name(part.a)},${name(part.b)})`;
    return [
      `b${n} ${name(part.a)} ${name(part.b)} i=${across}/(${coldOhms}*pow(1+(${across}/${kneeVolts})^2,${exponent}))`,
    ];
  });
  const folder = mkdtempSync(join(tmpdir(), "pinwalk-bench-"));
  const secondsFor = (points) => {
    const file = join(folder, "deck.cir");
    const control = [".control", "set noprintscale", `repeat ${points}`, "op", "end", "quit", ".endc", ".end"];
    writeFileSync(file, ["* network", ...lines, ...control].join("\n"));
    const start = process.hrtime.bigint();
    const run = spawnSync("ngspice", ["-b", file], { stdio: "ignore" });
    if (run.error !== undefined) return undefined;
    return Number(process.hrtime.bigint() - start) / 1e9;
  };
  try {
    const few = secondsFor(5);
    const many = secondsFor(105);
    return few === undefined || many === undefined ? undefined : { seconds: (many - few) / 100, lines: lines.length };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** A chain of `rungs` lamps behind diodes along one wire: about two nodes a rung. */
function ladder(rungs) {
  const model = { saturationAmps: 29.65e-9, ideality: 1.7, seriesOhms: 0.0191 };
  const parts = [{ kind: "source", id: "supply", plus: "w0", minus: "0", volts: 12.8, ohms: 0.1 }];
  for (let at = 1; at <= rungs; at++) {
    parts.push({ kind: "resistor", id: `w${at}`, a: `w${at - 1}`, b: `w${at}`, ohms: 0.02 });
    parts.push({ kind: "diode", id: `d${at}`, anode: `w${at}`, cathode: `f${at}`, model, celsius: 20 });
    const lamp = { designVolts: 12.8, designAmps: 0.3 };
    parts.push({ kind: "filament", id: `l${at}`, a: `f${at}`, b: "0", model: lamp, celsius: 20 });
  }
  return { reference: "0", parts };
}

function row(...cells) {
  process.stdout.write(
    `${cells.map((cell, at) => (at === 0 ? String(cell).padEnd(34) : String(cell).padStart(12))).join("")}\n`,
  );
}

export async function run() {
  row("network", "nodes", "µs cold", "µs warm", "points/s", "ngspice µs", "ratio");
  for (const file of readdirSync(plans).sort()) {
    const parsed = parsePlan(JSON.parse(readFileSync(new URL(file, plans), "utf8")));
    if (!parsed.ok) throw new Error(`${file} is not a plan`);
    const source = { ...referenceBenchSource, volts: (12.8 * parsed.plan.nominalVolts) / 12 };
    const built = planNetwork(parsed.plan);
    const bench = attachBench(built, source);
    const pins = drivenPins(built);
    // Every call is another operating point: pins in turn, the supply never quite the same.
    const solveAt = (warm) => (call) => {
      bench.drive(pins[call % pins.length], source.volts + (call % 7) * 0.05);
      if (bench.run({ warm }).kind !== "solved") throw new Error(`${file} has no operating point`);
    };
    const cold = secondsPerCall(solveAt(false));
    const warm = secondsPerCall(solveAt(true));
    const driven = benchParts(built, source).flatMap((part) => {
      if (!/^(bench|vehicle):/.test(part.id)) return [part];
      return part.id === `bench:${pins[0]}` ? [{ ...part, volts: source.volts, ohms: source.ohms }] : [];
    });
    const spice = spiceSecondsPerPoint(driven, built.reference);
    const ratio = spice === undefined ? "no ngspice" : (spice.seconds / cold).toFixed(0);
    const theirs = spice === undefined ? "–" : (spice.seconds * 1e6).toFixed(0);
    const micro = (seconds) => (seconds * 1e6).toFixed(1);
    row(
      file.replace(".json", ""),
      bench.prepared.nodes.length,
      micro(cold),
      micro(warm),
      (1 / cold).toFixed(0),
      theirs,
      ratio,
    );
  }
  process.stdout.write("\n");
  row("ladder of lamps behind diodes", "nodes", "µs cold", "µs a node");
  for (const nodes of [10, 20, 50, 100, 200]) {
    const made = prepareNetwork(ladder((nodes - 2) / 2));
    if (made.kind !== "ready") throw new Error("the ladder is not a network");
    const seconds = secondsPerCall((call) => {
      made.prepared.setVolts("supply", 12.8 + (call % 7) * 0.05);
      if (made.prepared.run().kind !== "solved") throw new Error("the ladder has no operating point");
    });
    row("", made.prepared.nodes.length, (seconds * 1e6).toFixed(1), ((seconds * 1e6) / nodes).toFixed(2));
  }
}
