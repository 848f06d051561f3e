import { type InstallContext, placedFeeds } from "./install-context.js";
import type { LitCase } from "./lit-case.js";
import { figure, type Remark } from "./remark.js";

/** A lamp shall get at least this share of its design volts with the engine running. */
const leastShare = 0.85;
const source = "13 CCR § 1249(c): at least 85 % of the bulb's design voltage at the socket, engine running";

/** What reaches each lamp that a tow circuit feeds, with everything lit; where two feed it, by the weaker way alone too. */
export function lampVoltage(context: InstallContext): Remark[] {
  const feeds = placedFeeds(context.plan);
  return context.built.lamps.flatMap((lamp): Remark[] => {
    const pins = feeds.filter(({ feed }) => feed.to === lamp.id).map(({ circuit }) => circuit.pin);
    if (pins.length === 0 || lamp.load.kind === "battery" || lamp.load.kind === "resistor") return [];
    const voltsIn = (lit: LitCase): number => lit.volts(lamp.feedNode) - lit.volts(lamp.returnNode);
    const volts = voltsIn(context.worst(pins, (lit) => -voltsIn(lit)));
    const limit = leastShare * lamp.load.designVolts;
    const low = volts < limit;
    const share = figure((100 * volts) / lamp.load.designVolts);
    const text = `${lamp.id} (${lamp.load.name}) gets ${figure(volts)} V of ${figure(context.supplyVolts)} V at the pin, ${share} % of its ${lamp.load.designVolts} V; at least ${figure(limit)} V ${low ? "is asked" : "is asked and met"}.`;
    const code = low ? "lamp-voltage-low" : "lamp-voltage";
    return [
      {
        code,
        severity: low ? "problem" : "note",
        text,
        value: volts,
        limit,
        unit: "V",
        source,
        where: `lamp:${lamp.id}`,
      },
    ];
  });
}
