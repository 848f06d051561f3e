import { type InstallContext, placedFeeds } from "./install-context.js";
import { figure, type Remark } from "./remark.js";

/** A lamp shall get at least this share of its design volts with the engine running. */
const leastShare = 0.85;
const source = "13 CCR § 1249(c): at least 85 % of the bulb's design voltage at the socket, engine running";

/** What reaches each lamp that a tow circuit feeds, with everything lit. */
export function lampVoltage(context: InstallContext): Remark[] {
  const fed = new Set(placedFeeds(context.plan).map(({ feed }) => feed.to));
  return context.built.lamps.flatMap((lamp): Remark[] => {
    if (!fed.has(lamp.id) || lamp.load.kind === "battery" || lamp.load.kind === "resistor") return [];
    const volts = context.volts(lamp.feedNode) - context.volts(lamp.returnNode);
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
