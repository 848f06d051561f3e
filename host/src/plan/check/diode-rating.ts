import { findDiode } from "../parts/parts-library.js";
import { type InstallContext, placedFeeds } from "./install-context.js";
import { figure, practice, type Remark } from "./remark.js";

/** Each isolation diode's loss and heat where it carries most, against its rating. */
export function diodeRating(context: InstallContext): Remark[] {
  return placedFeeds(context.plan).flatMap(({ circuit, feed, name }): Remark[] => {
    if (feed.isolation === "none") return [];
    const lit = context.worst([circuit.pin], (one) => one.amps(`diode:${name}`));
    const amps = lit.amps(`diode:${name}`);
    const volts = lit.volts(`anode:${name}`) - lit.volts(`lamp-feed:${feed.to}`);
    const watts = amps * volts;
    const where = `feed:${name}`;
    const loss = `drops ${figure(volts)} V at ${figure(amps)} A and turns ${figure(watts)} W into heat`;
    const part = typeof feed.isolation === "string" ? findDiode(context.library, feed.isolation) : undefined;
    if (part === undefined) {
      const text = `The diode of ${name} ${loss}; its rating is not in the parts library.`;
      return [{ code: "diode-loss", severity: "note", text, value: watts, unit: "W", source: practice, where }];
    }
    const remarks: Remark[] = [];
    const rated = part.ratedAmps;
    if (amps > rated) {
      const text = `The ${part.name} of ${name} would carry ${figure(amps)} A; it is rated ${rated} A.`;
      remarks.push({
        code: "diode-overloaded",
        severity: "problem",
        text,
        value: amps,
        limit: rated,
        unit: "A",
        source: part.source,
        where,
      });
    } else if (amps > 0.8 * rated) {
      const text = `The ${part.name} of ${name} carries ${figure(amps)} A, more than 80 % of its ${rated} A: little is left for a warm place.`;
      remarks.push({
        code: "diode-near-rating",
        severity: "warning",
        text,
        value: amps,
        limit: 0.8 * rated,
        unit: "A",
        source: practice,
        where,
      });
    }
    const limit = part.bareWatts.watts;
    const hot = watts > limit;
    const text = `The ${part.name} of ${name} ${loss}${hot ? `; more than ${limit} W wants a heat sink` : ""}.`;
    const severity = hot ? "warning" : "note";
    remarks.push({
      code: hot ? "diode-heat" : "diode-loss",
      severity,
      text,
      value: watts,
      limit,
      unit: "W",
      source: part.bareWatts.source,
      where,
    });
    return remarks;
  });
}
