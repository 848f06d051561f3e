import { type InstallContext, placedFeeds } from "./install-context.js";
import { practice, type Remark } from "./remark.js";

const joint =
  "Wikipedia, Trailer connectors in North America: joining two feeds needs diodes or a relay, else they couple";

/** Lamps that two circuits feed, and lamps of the vehicle that nothing keeps apart from the tow vehicle. */
export function isolation(context: InstallContext): Remark[] {
  const byLamp = new Map<string, { pin: string; isolated: boolean }[]>();
  for (const { circuit, feed } of placedFeeds(context.plan)) {
    const one = { pin: circuit.pin, isolated: feed.isolation !== "none" };
    byLamp.set(feed.to, [...(byLamp.get(feed.to) ?? []), one]);
  }
  return [...byLamp].flatMap(([lamp, feeds]): Remark[] => {
    const where = `lamp:${lamp}`;
    const pins = feeds.map((feed) => feed.pin).join(" and ");
    const bare = feeds.filter((feed) => !feed.isolated);
    const remarks: Remark[] = [];
    if (feeds.length > 1 && bare.length > 0) {
      const text = `${lamp} is fed by pins ${pins}, and not each through a diode: one circuit would feed the other.`;
      remarks.push({ code: "double-feed", severity: "problem", text, source: joint, where });
    } else if (feeds.length > 1) {
      const text = `${lamp} is fed by pins ${pins}, each through its diode.`;
      remarks.push({ code: "double-feed-isolated", severity: "note", text, source: joint, where });
    }
    const [socketId, filament] = lamp.split(".");
    const socket = context.plan.sockets.find((one) => one.id === socketId);
    const factory = filament === "bright" || filament === "dim" ? (socket?.factory?.[filament] ?? []) : [];
    if (bare.length > 0 && factory.length > 0) {
      const text = `${lamp} has the vehicle's own loads on its feed and no diode to pin ${bare.map((feed) => feed.pin).join(", ")}: each vehicle would feed the other.`;
      remarks.push({ code: "not-isolated", severity: "problem", text, source: practice, where });
    }
    return remarks;
  });
}
