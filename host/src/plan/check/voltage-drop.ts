import { type InstallContext, placedFeeds } from "./install-context.js";
import type { LitCase } from "./lit-case.js";
import { figure, type Remark } from "./remark.js";

const source =
  "ABYC E-11 11.14.2.6: at most 3 % for critical circuits, 10 % for others (a marine rule, used as a yardstick)";

/** Loss between pin and lamp: conductors alone against 3 %, with the diode against 10 %. */
export function voltageDrop(context: InstallContext): Remark[] {
  return placedFeeds(context.plan).flatMap(({ circuit, feed, name }): Remark[] => {
    const lamp = context.built.lamps.find((one) => one.id === feed.to);
    if (lamp === undefined) return [];
    const lampVoltsIn = (one: LitCase): number => one.volts(lamp.feedNode) - one.volts(lamp.returnNode);
    const lit = context.worst([circuit.pin], (one) => -lampVoltsIn(one));
    const pinVolts = lit.volts(context.built.pinNode(circuit.pin));
    const lampVolts = lampVoltsIn(lit);
    const diodeVolts = feed.isolation === "none" ? 0 : lit.volts(`anode:${name}`) - lit.volts(lamp.feedNode);
    const total = (100 * (pinVolts - lampVolts)) / pinVolts;
    const copper = (100 * (pinVolts - lampVolts - diodeVolts)) / pinVolts;
    const remarks: Remark[] = [];
    const where = `feed:${name}`;
    if (copper > 3) {
      const text = `Wire, joints and ground on the way to ${feed.to} lose ${figure(copper)} %; 3 % is the rule for critical circuits.`;
      const severity = copper > 10 ? "warning" : "note";
      remarks.push({ code: "drop-conductors", severity, text, value: copper, limit: 3, unit: "%", source, where });
    }
    if (total > 10) {
      const text = `${feed.to} loses ${figure(total)} % on the way from the pin${diodeVolts > 0 ? `, ${figure(diodeVolts)} V of it in the diode` : ""}; 10 % is the rule.`;
      remarks.push({
        code: "drop-total",
        severity: "warning",
        text,
        value: total,
        limit: 10,
        unit: "%",
        source,
        where,
      });
    }
    return remarks;
  });
}
