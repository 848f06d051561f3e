/**
 * A plan with faults and scattered parts as a SPICE netlist, written from the formats page alone: no line of the host is
 * used. Filaments follow another law than the host's: R = Rcold·(1 + (V/Vknee)^1.7)^0.27 with a cold ratio of 14.4, so that
 * current goes as V^0.54 (resistance as T^1.2 and radiation as T^4 give 0.538).
 * Units: volts, amps, ohms, metres, °C.
 */

// Trade numbers and categories: design volts and amps (SAE J573 lists and UN R37 objective watts at 13.5 V; from memory where the lists were not at hand).
const bulbs = {
  1156: { bright: [12.8, 2.1] },
  3156: { bright: [12.8, 2.1] },
  1141: { bright: [12.8, 1.44] },
  1157: { bright: [12.8, 2.1], dim: [14, 0.59] },
  2057: { bright: [12.8, 2.1], dim: [14, 0.48] },
  3157: { bright: [12.8, 2.1], dim: [14, 0.59] },
  3057: { bright: [12.8, 2.1], dim: [14, 0.48] },
  1034: { bright: [12.8, 1.8], dim: [14, 0.59] },
  194: { bright: [14, 0.27] },
  168: { bright: [14, 0.35] },
  67: { bright: [13.5, 0.59] },
  P21W: { bright: [13.5, 25 / 13.5] },
  "P21/5W": { bright: [13.5, 25 / 13.5], dim: [13.5, 6 / 13.5] },
  R5W: { bright: [13.5, 5 / 13.5] },
  W5W: { bright: [13.5, 5 / 13.5] },
};
const diodeModels = {
  "silicon-6a": { IS: 8e-9, N: 1.6, RS: 0.01 },
  "schottky-10a": { IS: 1e-6, N: 1.05, RS: 0.012 },
};
const coldRatio = 14.4;
const riseExponent = 0.27;
const contactOhms = 0.01;
const socketGroundOhms = 0.02;
const bondOhms = 0.02;

/** Ohms of a wire at 20 °C by IEC 60028 copper and ASTM B258 gauge. */
function wireOhms({ awg, mm2, metres }) {
  const area = mm2 ?? 0.012668 * 92 ** ((36 - awg) / 19.5);
  return (0.017241 * metres) / area;
}

export function spiceVehicle(plan, faults, random, ambientC) {
  const lines = [];
  const has = (kind, at) => faults.find((fault) => fault.kind === kind && fault.at === at);
  const scattered = (value, part) => value * Math.exp(part * random.normal());
  let count = 0;
  const node = (name) => name.replace(/[^A-Za-z0-9]/g, "_");
  const resistor = (a, b, ohms) =>
    lines.push(`R${++count} ${node(a)} ${node(b)} ${Math.max(ohms, 1e-4).toPrecision(8)}`);
  /** A series connection at one or more fault places. */
  const series = (a, b, ohms, ...places) => {
    let total = scattered(ohms, 0.05);
    for (const place of places) {
      if (has("open", place)) total = 1e9;
      total += has("high-resistance", place)?.ohms ?? 0;
    }
    resistor(a, b, total);
  };
  const lots = new Map();
  const lot = (key, part) => {
    if (!lots.has(key)) lots.set(key, Math.exp(part * random.normal()));
    return lots.get(key);
  };
  const models = new Set();
  const diode = (a, b, name) => {
    const base =
      typeof name === "string"
        ? diodeModels[name]
        : { IS: name.diode.saturationAmps, N: name.diode.ideality, RS: name.diode.seriesOhms };
    const model = `D${++count}`;
    models.add(
      `.model M${model} D(IS=${(scattered(base.IS, 0.2) * lot("diode", 0.2)).toPrecision(6)} N=${base.N} RS=${base.RS} CJO=0)`,
    );
    lines.push(`${model} ${node(a)} ${node(b)} M${model}`);
  };
  const filament = (a, b, [volts, amps], key) => {
    const scale = scattered(1, 0.02) * lot(key, 0.015);
    const hotOhms = volts / (amps * scale);
    const coldOhms = (hotOhms / coldRatio) * (1 + 0.0045 * (ambientC - 20));
    const knee = volts / ((hotOhms / coldOhms) ** (1 / riseExponent) - 1) ** (1 / 1.7);
    const id = ++count;
    const v = `(v(${node(a)})-v(${node(b)}))`;
    const rise = `(1+v(hot)*pow((${v}*${v}+1e-8)/${(knee * knee).toPrecision(7)},0.85))`;
    lines.push(`B${id} ${node(a)} ${node(b)} I = ${v}/(${coldOhms.toPrecision(7)}*pow(${rise},${riseExponent}))`);
  };
  const loads = (a, b, load, key, times = 1) => {
    for (let n = 0; n < times; n++) {
      if (load.kind === "led") {
        const amps = scattered(load.amps, 0.03);
        const id = ++count;
        const v = `(v(${node(a)})-v(${node(b)}))`;
        const rise = load.regulated ? 1 : load.volts - (load.kneeVolts ?? 8);
        const top = load.regulated ? amps : amps * 3;
        lines.push(
          `B${id} ${node(a)} ${node(b)} I = min(max(${v}-${load.kneeVolts ?? 8},0)*${(amps / rise).toPrecision(6)}, ${top.toPrecision(6)}) + 1e-9*${v}`,
        );
      } else if (load.kind === "resistor") resistor(a, b, scattered(load.ohms, 0.03));
      else filament(a, b, load.design, key);
    }
  };
  const vehicleSwitches = [];
  if (plan.kind === "install") install();
  else cable();
  return { lines, models: [...models], vehicleSwitches };

  function install() {
    const swap = faults.find((fault) => fault.kind === "swap");
    const [swapA, swapB] = swap ? swap.at.split("+").map((place) => place.slice(4)) : [];
    const wireOfPin = (pin) => (pin === swapA ? swapB : pin === swapB ? swapA : pin);
    const pins = [...plan.circuits.map((circuit) => circuit.pin), plan.ground.pin];
    for (const pin of pins)
      series(pin === plan.ground.pin ? "0" : `pin ${pin}`, `w ${wireOfPin(pin)}`, contactOhms, `pin:${pin}`);
    series(`w ${plan.ground.pin}`, "bond", wireOhms(plan.ground.wire), `wire:${plan.ground.pin}`);
    series("bond", "chassis", bondOhms, "ground-bond");
    for (const fault of faults) {
      if (fault.kind === "short-to-power")
        lines.push(`VP${++count} fp${count} chassis 12.6`, `RP${count} fp${count} pin_${fault.at.slice(4)} 0.05`);
    }
    const isolationOf = new Map();
    for (const circuit of plan.circuits) {
      series(`w ${circuit.pin}`, `m ${circuit.pin}`, wireOhms(circuit.wire) / 2);
      series(`m ${circuit.pin}`, `j ${circuit.pin}`, wireOhms(circuit.wire) / 2, `wire:${circuit.pin}`);
      if (has("short-to-ground", `wire:${circuit.pin}`)) resistor(`m ${circuit.pin}`, "chassis", 0.02);
      for (const feed of circuit.feeds) {
        const place = `feed:${circuit.pin}/${feed.to}`;
        const branch = `b ${circuit.pin} ${feed.to}`;
        series(`j ${circuit.pin}`, branch, feed.wire ? wireOhms(feed.wire) : 0.001, place);
        if (feed.isolation === "none" || has("diode-shorted", place)) resistor(branch, `f ${feed.to}`, 0.001);
        else if (has("diode-reversed", place)) diode(`f ${feed.to}`, branch, feed.isolation);
        else diode(branch, `f ${feed.to}`, feed.isolation);
        isolationOf.set(feed.to, feed.isolation);
      }
    }
    for (const socket of plan.sockets) {
      series(`s ${socket.id}`, "chassis", socketGroundOhms, `socket-ground:${socket.id}`);
      const lamps =
        socket.lamps ??
        Object.fromEntries(
          Object.entries(bulbs[socket.bulb]).map(([name, design]) => [name, { kind: "filament", design }]),
        );
      for (const [name, load] of Object.entries(lamps)) {
        const lamp = `${socket.id}.${name}`;
        const feed = `f ${lamp}`;
        if (has("short-to-ground", `lamp-feed:${lamp}`)) resistor(feed, "chassis", 0.02);
        const wrong = has("wrong-lamp", `lamp:${lamp}`);
        const wrongLoad = wrong && { kind: "filament", design: bulbs[wrong.instead].bright };
        if (!has("open", `lamp:${lamp}`))
          loads(
            feed,
            `s ${socket.id}`,
            wrongLoad ?? load,
            `${wrong?.instead ?? socket.bulb}.${name}`,
            socket.count ?? 1,
          );
        resistor(feed, "chassis", 1e8);
        const isolation = isolationOf.get(lamp);
        const factorySide = `x ${lamp}`;
        if (isolation === undefined || isolation === "none" || has("factory-diode-shorted", `lamp-feed:${lamp}`))
          resistor(factorySide, feed, 0.001);
        else diode(factorySide, feed, isolation);
        resistor(factorySide, "chassis", 1e8);
        for (const other of socket.factory?.[name] ?? []) {
          loads(
            factorySide,
            "chassis",
            { kind: "filament", design: bulbs[other.bulb][other.filament] },
            `${other.bulb}.${other.filament}`,
            other.count ?? 1,
          );
        }
        const functions = plan.circuits
          .filter((circuit) => circuit.feeds.some((one) => one.to === lamp))
          .map((circuit) => circuit.function);
        const id = ++count;
        lines.push(`RV${id} vehicle ${node(factorySide)} 1e9`);
        vehicleSwitches.push({ id: `RV${id}`, functions });
      }
    }
    lines.push("VVEH vehicle_ideal chassis 12.6", "RVEH vehicle_ideal vehicle 0.05");
    joints((place) => (place.startsWith("wire:") ? `m ${place.slice(5)}` : `f ${place.slice(10)}`));
  }

  function joints(nodeOf) {
    for (const fault of faults) {
      if (fault.kind !== "bridge") continue;
      const [a, b] = fault.at.split("+").map(nodeOf);
      resistor(a, b, random.between(0.005, 0.1));
    }
  }

  function cable() {
    const swap = faults.find((fault) => fault.kind === "swap");
    const exchange = new Map();
    if (swap) {
      const [a, b] = swap.at.split("+");
      exchange.set(a, b).set(b, a);
    }
    for (const { near, far, wire } of plan.conductors) {
      const ground = near === "GD";
      const nearPlace = exchange.get(`pin:${near}`)?.slice(4) ?? near;
      const farPlace = exchange.get(`far:${far}`)?.slice(4) ?? far;
      series(nearPlace === "GD" ? "0" : `pin ${nearPlace}`, `c ${near}`, contactOhms, `pin:${nearPlace}`);
      series(`c ${near}`, `d ${near}`, wireOhms(wire), `wire:${near}`);
      series(`d ${near}`, `far ${farPlace}`, contactOhms, `far:${farPlace}`);
      if (has("short-to-ground", `wire:${near}`) && !ground) resistor(`d ${near}`, "d GD", 0.02);
      if (has("short-to-power", `pin:${near}`))
        lines.push(`VP${++count} fp${count} 0 12.6`, `RP${count} fp${count} pin_${near} 0.05`);
    }
    for (const pin of ["LT", "RT", "TM", "S", "A"]) resistor(`far ${pin}`, "far GD", scattered(plan.farLoadOhms, 0.01));
    for (const pin of ["LT", "RT", "TM", "S", "A", "GD"]) resistor(`far ${pin}`, "0", 133000);
    joints((place) => `d ${place.slice(5)}`);
  }
}
