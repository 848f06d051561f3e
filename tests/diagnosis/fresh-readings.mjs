import { filamentConstants } from "@pinwalk/host/circuit/filament.js";
import { benchScatter, partScatter, vehicleSupply } from "@pinwalk/host/diagnosis/hypotheses/part-scatter.js";
import { attachBench } from "@pinwalk/host/plan/attach-bench.js";
import { fedLamps } from "@pinwalk/host/plan/expected.js";
import { planNetwork } from "@pinwalk/host/plan/plan-network.js";

/**
 * Everything that was read of a vehicle with these faults, in the order of `readings`, with the bench's own standard
 * uncertainty: a network built anew and solved from cold for every reading, with none of the diagnosis' machinery.
 */
export function freshReadings(plan, readings, faults, change = unchanged) {
  const { source, tester } = readings;
  const built = planNetwork(plan, { faults, ambientC: readings.ambientC ?? 20 });
  const parts = change.parts(built.parts);
  const bench = attachBench({ ...built, parts }, { ...source, ...change.source(source) });
  const held = parts.flatMap((part) =>
    part.kind === "filament" ? [[part.id, filamentConstants(part.model, part.celsius).coldOhms]] : [],
  );
  const hold = (cold) => {
    for (const [id, ohms] of held) bench.prepared.holdFilament(id, cold ? ohms : undefined);
  };
  const rows = [];
  const volts = (table, voltsOf) => {
    const { offset, relative } = tester.uncertainty.volts;
    for (const [pin, measured] of Object.entries(table ?? {}))
      rows.push({ value: voltsOf(pin), sigma: Math.max(1e-4, (offset + relative * Math.abs(measured)) / 2) });
  };
  const solve = () => {
    if (bench.run({ residualAmps: 1e-8 }).kind !== "solved") throw new Error("no operating point");
  };
  const near = (pin) => bench.pinVolts(pin);
  const far = (pin) => bench.farVolts(pin);
  if (readings.rest !== undefined) {
    bench.rest();
    solve();
    volts(readings.rest, near);
  }
  for (const { pin, volts: table, farVolts } of readings.lowCurrent ?? []) {
    bench.low(pin);
    solve();
    volts(table, near);
    volts(farVolts, far);
  }
  const lit = new Map();
  const peaks = [];
  for (const { pin, amps, peakAmps, tripped, volts: table, farVolts } of readings.drives ?? []) {
    bench.drive(pin);
    solve();
    lit.set(
      pin,
      built.lamps.filter(({ id }) => Math.abs(bench.lampVolts(id)) > warmVolts).map(({ id }) => id),
    );
    // How far the current lies from the limit, in widths of its spread: beyond two the limit's answer is certain.
    const beyond = (bench.sourceAmps() / source.tripAmps - 1) / limitSpread;
    rows.push({ value: Math.max(-2, Math.min(2, beyond)), sigma: 1 });
    if (tripped === true) continue;
    const { offset, relative } = tester.uncertainty.amps;
    const gain = 1 + change.ampsGain * ((relative * benchScatter.steadyShare) / 2);
    rows.push({
      value: bench.sourceAmps() * gain,
      sigma: Math.max(1e-4, (offset + relative * Math.abs(amps)) / 2),
    });
    volts(table, near);
    volts(farVolts, far);
    if (peakAmps === undefined) continue;
    hold(true);
    solve();
    const value = 0.92 * bench.sourceAmps();
    peaks.push({ pin, at: rows.length, bench: 0.08 + 0.02 * peakAmps, value });
    rows.push({ value: value * (1 + change.inrush * partScatter.inrushLot), sigma: 0 });
    hold(false);
  }
  for (const { pin, at, bench: noise, value } of peaks) {
    // A lamp that another pin lights, or should light, may still be warm, and the inrush into it says little.
    const lamps = lit.get(pin);
    const shared = [...lit].some(([other, theirs]) => other !== pin && theirs.some((one) => lamps.includes(one)));
    const own = plan.kind === "install" ? fedLamps(plan, pin) : lamps;
    const warm = shared || lamps.some((one) => !own.includes(one));
    rows[at].sigma = Math.hypot(noise, value * (warm ? partScatter.inrushWarm : partScatter.inrushOwn));
  }
  bench.rest();
  for (const { vehicle, volts: table } of readings.backFeed ?? []) {
    bench.vehicle(vehicle, (plan.nominalVolts * vehicleSupply.volts) / 12 + change.vehicle * vehicleSupply.deviation);
    solve();
    volts(table, near);
  }
  return rows;
}

/** The limit trips within this part of its setting, one standard deviation (as the diagnosis takes it). */
const limitSpread = 0.06;

/** A lamp with this much across it is warm for a while: the filament law gives it two and a half times its cold resistance. */
const warmVolts = 0.3;

const unchanged = { parts: (parts) => parts, source: () => ({}), ampsGain: 0, inrush: 0, vehicle: 0 };

/** The share of a standard deviation by which finite differences are taken. */
const step = 0.25;

/** Change of every reading for one standard deviation of each thing that scatters. */
export function freshSlopes(plan, readings, faults) {
  const up = scatters(plan, readings, faults, step).map((change) => freshReadings(plan, readings, faults, change));
  const down = scatters(plan, readings, faults, -step).map((change) => freshReadings(plan, readings, faults, change));
  return up.map((rows, at) => rows.map(({ value }, row) => (value - down[at][row].value) / (2 * step)));
}

function scatters(plan, readings, faults, share) {
  const { volts } = readings.tester.uncertainty;
  const sourceSigma = (rated) => ((volts.offset + volts.relative * rated) / 2) * share;
  const built = planNetwork(plan, { faults, ambientC: readings.ambientC ?? 20 });
  const types = new Map(built.lamps.flatMap((lamp) => lamp.partIds.map((id) => [id, lamp.load.type])));
  const groups = new Map();
  const add = (name, id, deviation) => {
    const members = groups.get(name) ?? new Map();
    groups.set(name, members.set(id, deviation));
  };
  for (const part of built.parts) {
    const type = types.get(part.id) ?? part.kind;
    if (part.kind === "filament" || part.kind === "led") {
      add(`lot ${type}`, part.id, part.kind === "led" ? partScatter.ledLot : partScatter.filamentLot);
      add(part.id, part.id, part.kind === "led" ? partScatter.ledOwn : partScatter.filamentOwn);
    } else if (part.kind === "diode") {
      const kind = (part.model.gapVolts ?? 1.11) < 1 ? "schottky" : "silicon";
      add(`lot ${part.model.saturationAmps}`, part.id, partScatter.diodeLot[kind]);
      add(part.id, part.id, partScatter.diodeOwn);
      add(`leak ${part.model.saturationAmps}`, part.id, { leak: partScatter.diodeLeakAmps[kind] });
    } else if (part.kind === "source") {
      add("foreign volts", part.id, { volts: (vehicleSupply.foreignDeviation * plan.nominalVolts) / 12 });
      add("foreign ohms", part.id, partScatter.foreignOhms);
    } else if (part.kind === "resistor" && part.ohms < 1e6) {
      if (part.id.startsWith("wire:")) add("wire lot", part.id, partScatter.wireLot);
      if (/^(wire|feed):/.test(part.id)) add(part.id, part.id, partScatter.wireOwn);
      else if (/^(contact|far-contact|socket-ground|ground-bond)/.test(part.id))
        add(part.id, part.id, partScatter.contactOwn);
      else if (/^(short|bridge):/.test(part.id)) add(part.id, part.id, partScatter.jointOhms);
      else if (part.id.startsWith("far-load:")) add(part.id, part.id, partScatter.farLoadOwn);
      else if (part.id.startsWith("lamp:")) add(part.id, part.id, partScatter.resistorOwn);
    }
  }
  // What a fault adds in series is fitted to the readings: only the sound part scatters.
  const sound = new Map(planNetwork(plan, { ambientC: readings.ambientC ?? 20 }).parts.map((part) => [part.id, part]));
  return [
    ...[...groups.values()].map((members) => ({
      ...unchanged,
      parts: (parts) =>
        parts.flatMap((part) => (members.has(part.id) ? varied(part, members.get(part.id), share, sound) : [part])),
    })),
    { ...unchanged, source: (source) => ({ volts: source.volts + sourceSigma(source.volts) }) },
    { ...unchanged, source: (source) => ({ lowVolts: source.lowVolts + sourceSigma(source.lowVolts) }) },
    { ...unchanged, ampsGain: share },
    { ...unchanged, inrush: share },
    { ...unchanged, vehicle: share },
  ];
}

function varied(part, deviation, share, sound) {
  if (typeof deviation === "object") {
    if (part.kind === "source") return [{ ...part, volts: part.volts + deviation.volts * share }];
    const leak = { kind: "current-source", id: `leak:${part.id}`, from: part.cathode, to: part.anode };
    return [part, { ...leak, amps: deviation.leak * share }];
  }
  const factor = Math.exp(deviation * share);
  if (part.kind === "filament")
    return [{ ...part, model: { ...part.model, designAmps: part.model.designAmps * factor } }];
  if (part.kind === "led") return [{ ...part, model: { ...part.model, amps: part.model.amps * factor } }];
  if (part.kind === "diode")
    return [{ ...part, model: { ...part.model, saturationAmps: part.model.saturationAmps * factor } }];
  const healthy = sound.get(part.id);
  const own = healthy?.kind === "resistor" ? Math.min(healthy.ohms, part.ohms) : part.ohms;
  return [{ ...part, ohms: part.ohms + own * (factor - 1) }];
}
