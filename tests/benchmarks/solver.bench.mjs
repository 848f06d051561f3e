import { spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { prepareNetwork } from "@pinwalk/host/circuit/prepared-network.js";
import { attachBench, benchParts, referenceBenchSource } from "@pinwalk/host/plan/attach-bench.js";
import { drivenPins } from "@pinwalk/host/plan/expected.js";
import { parsePlan } from "@pinwalk/host/plan/parse-plan.js";
import { planNetwork } from "@pinwalk/host/plan/plan-network.js";
import { spiceDeck } from "../circuit/spice-deck.mjs";

export const title = "Solver: operating points per second, beside ngspice on the same network in the same run";

const plans = new URL("../../fixtures/plans/", import.meta.url);

/** Processor seconds per call, best of several rounds of at least 0.1 s: what else the machine does does not count. */
function secondsPerCall(call) {
  for (let warm = 0; warm < 2000; warm++) call(warm);
  let best = Number.POSITIVE_INFINITY;
  for (let round = 0; round < 5; round++) {
    const start = process.cpuUsage();
    let calls = 0;
    let seconds = 0;
    while (seconds < 0.1) {
      for (let at = 0; at < 200; at++) call(calls++);
      const used = process.cpuUsage(start);
      seconds = (used.user + used.system) / 1e6;
    }
    best = Math.min(best, seconds / calls);
  }
  return best;
}

/** ngspice's processor seconds per operating point: one process with many, less one with few. Undefined without ngspice. */
function spiceSecondsPerPoint(network) {
  const folder = mkdtempSync(join(tmpdir(), "pinwalk-bench-"));
  const secondsFor = (points) => {
    const file = join(folder, "deck.cir");
    const control = [".control", "set noprintscale", `repeat ${points}`, "op", "end", "quit", ".endc", ".end"];
    writeFileSync(file, [spiceDeck(network, 20, false).text, ...control].join("\n"));
    const timed = spawnSync("bash", ["-c", `TIMEFORMAT='%3U %3S'; time ngspice -b ${file} >/dev/null 2>&1`], {
      encoding: "utf8",
    });
    if (timed.error !== undefined || timed.status !== 0) return undefined;
    const [user, system] = timed.stderr.trim().split(/\s+/).map(Number);
    return user + system;
  };
  try {
    const rounds = [1, 2, 3].map(() => {
      const few = secondsFor(10);
      const many = secondsFor(410);
      return few === undefined || many === undefined ? undefined : (many - few) / 400;
    });
    return rounds.includes(undefined) ? undefined : Math.min(...rounds);
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
  row("network", "nodes", "µs cold", "µs warm", "ngspice µs", "cold ratio", "warm ratio");
  for (const file of readdirSync(plans).sort()) {
    const parsed = parsePlan(JSON.parse(readFileSync(new URL(file, plans), "utf8")));
    if (!parsed.ok) throw new Error(`${file} is not a plan`);
    const source = { ...referenceBenchSource, volts: (12.8 * parsed.plan.nominalVolts) / 12 };
    const built = planNetwork(parsed.plan);
    const bench = attachBench(built, source);
    const pins = drivenPins(built);
    // Every call is another operating point: pins in turn, the supply never the one before.
    const solveAt = (warm) => (call) => {
      bench.drive(pins[call % pins.length], source.volts + ((call * 37) % 101) * 0.005);
      if (bench.run({ warm }).kind !== "solved") throw new Error(`${file} has no operating point`);
    };
    const cold = secondsPerCall(solveAt(false));
    const warm = secondsPerCall(solveAt(true));
    const parts = benchParts(built, source).flatMap((part) => {
      if (!/^(bench|vehicle):/.test(part.id)) return [part];
      return part.id === `bench:${pins[0]}` ? [{ ...part, volts: source.volts, ohms: source.ohms }] : [];
    });
    const spice = spiceSecondsPerPoint({ reference: built.reference, parts });
    const micro = (seconds) => (seconds === undefined ? "none" : (seconds * 1e6).toFixed(1));
    const ratio = (ours) => (spice === undefined ? "none" : (spice / ours).toFixed(0));
    const name = file.replace(".json", "");
    row(name, bench.prepared.nodes.length, micro(cold), micro(warm), micro(spice), ratio(cold), ratio(warm));
  }
  process.stdout.write(
    "cold: from the parts' working points; warm: from the last answer for the same pin. Processor time.\n\n",
  );
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
