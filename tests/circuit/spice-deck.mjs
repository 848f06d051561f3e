import { filamentConstants } from "@pinwalk/host/circuit/filament.js";

/**
 * A network as a SPICE deck, for comparison with a simulator that shares no code with this project. Diodes become the
 * simulator's own diode model; filaments and LEDs, which it has not, become sources of the published equation.
 */
export function spiceDeck(network, celsius = 20, probes = true) {
  const nodeNames = new Map([[network.reference, "0"]]);
  const currentNames = new Map();
  const name = (node) => {
    const known = nodeNames.get(node);
    if (known !== undefined) return known;
    const made = `n${nodeNames.size}`;
    nodeNames.set(node, made);
    return made;
  };
  const lines = network.parts.flatMap((part, index) => {
    if (probes) currentNames.set(part.id, `v${index}#branch`);
    return partLines(part, String(index), name, probes);
  });
  const options = `.options temp=${celsius} tnom=27 reltol=1e-6 abstol=1e-12 vntol=1e-9 gmin=1e-12 itl1=1000`;
  return { text: ["* network", ...lines, ...(probes ? [options] : [])].join("\n"), nodeNames, currentNames };
}

/** What each kind calls its first node. */
const kindNodes = {
  resistor: "a",
  source: "plus",
  "current-source": "from",
  diode: "anode",
  filament: "a",
  led: "anode",
};

/** With probes, every part stands in series with a 0 V source whose current the simulator reports; without, it is bare. */
function partLines(part, n, name, probes) {
  const first = kindNodes[part.kind];
  const between = probes || part.kind === "source" ? `m${n}` : name(part[first]);
  const probe = (from) => (probes ? [`v${n} ${name(from)} ${between} 0`] : []);
  switch (part.kind) {
    case "resistor":
      return part.ohms === 0
        ? [`v${n} ${name(part.a)} ${name(part.b)} 0`]
        : [...probe(part.a), `r${n} ${between} ${name(part.b)} ${part.ohms}`];
    case "source":
      if (part.ohms === 0) return [`v${n} ${name(part.plus)} ${name(part.minus)} ${part.volts}`];
      return [`v${n} ${name(part.plus)} ${between} ${part.volts}`, `r${n} ${between} ${name(part.minus)} ${part.ohms}`];
    case "current-source":
      return [...probe(part.from), `i${n} ${between} ${name(part.to)} ${part.amps}`];
    case "diode": {
      const { saturationAmps, ideality, seriesOhms, gapVolts, saturationExponent, nominalCelsius } = part.model;
      const model = `is=${saturationAmps} n=${ideality} rs=${seriesOhms} eg=${gapVolts ?? 1.11} xti=${saturationExponent ?? 3} tnom=${nominalCelsius ?? 27}`;
      return [
        ...probe(part.anode),
        `d${n} ${between} ${name(part.cathode)} dm${n} temp=${part.celsius}`,
        `.model dm${n} d (${model})`,
      ];
    }
    case "filament": {
      const { coldOhms, kneeVolts, exponent } = filamentConstants(part.model, part.celsius);
      const across = `v(${between},${name(part.b)})`;
      return [
        ...probe(part.a),
        `b${n} ${between} ${name(part.b)} i=${across}/(${coldOhms}*pow(1+(${across}/${kneeVolts})^2,${exponent}))`,
      ];
    }
    case "led": {
      const { amps, volts, kneeVolts, regulated } = part.model;
      const across = `v(${between},${name(part.cathode)})`;
      const slope = amps / (regulated === true ? 1 : volts - kneeVolts);
      const rise = `${slope}*uramp(${across}-${kneeVolts})`;
      const held = regulated === true ? `-${slope}*uramp(${across}-${kneeVolts + 1})` : "";
      return [...probe(part.anode), `b${n} ${between} ${name(part.cathode)} i=${rise}${held}+1e-12*${across}`];
    }
    default:
      throw new RangeError(`no SPICE for a ${part.kind}`);
  }
}
