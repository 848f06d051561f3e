import type { CircuitFunction } from "../circuit-function.js";
import { lampOfSocket } from "../lamp-load.js";
import { findBulb } from "../parts/parts-library.js";
import { type InstallContext, placedFeeds } from "./install-context.js";
import { practice, type Remark } from "./remark.js";

/** Circuits without a lamp, lamps without a circuit, signals that nothing carries, bulbs for another system voltage. */
export function coverage(context: InstallContext): Remark[] {
  return [...emptyCircuits(context), ...unfedLamps(context), ...missingSignals(context), ...bulbVoltages(context)];
}

function emptyCircuits(context: InstallContext): Remark[] {
  return context.plan.circuits.flatMap((circuit): Remark[] => {
    if (circuit.feeds.length > 0) return [];
    const lampless = circuit.function === "brake" || circuit.function === "charge" || circuit.function === "auxiliary";
    const text = `Circuit ${circuit.pin} (${circuit.function}) leads to no lamp${lampless ? "; its load is not in the plan, so nothing is expected of it" : ""}.`;
    return [
      {
        code: "circuit-without-lamp",
        severity: lampless ? "note" : "warning",
        text,
        source: practice,
        where: `pin:${circuit.pin}`,
      },
    ];
  });
}

function unfedLamps(context: InstallContext): Remark[] {
  const fed = new Set(placedFeeds(context.plan).map(({ feed }) => feed.to));
  return context.plan.sockets.flatMap((socket): Remark[] => {
    const filaments = (["bright", "dim"] as const).filter(
      (filament) => lampOfSocket(socket, filament, context.plan.nominalVolts, context.library) !== undefined,
    );
    const unfed = filaments.filter((filament) => !fed.has(`${socket.id}.${filament}`));
    if (unfed.length === 0) return [];
    if (unfed.length === filaments.length) {
      const text = `No circuit feeds socket ${socket.id}.`;
      return [
        { code: "lamp-without-circuit", severity: "warning", text, source: practice, where: `socket:${socket.id}` },
      ];
    }
    return unfed.map((filament) => {
      const text = `No circuit feeds ${socket.id}.${filament}, although its socket is in use.`;
      const where = `lamp:${socket.id}.${filament}`;
      return { code: "lamp-without-circuit", severity: "note", text, source: practice, where } as const;
    });
  });
}

/** The signals that a towed vehicle's rear has to repeat, each by any of the functions that carry it. */
const signals: readonly { readonly name: string; readonly by: readonly CircuitFunction[] }[] = [
  { name: "tail lamps", by: ["tail"] },
  { name: "stop lamps", by: ["stop", "left-stop-turn", "right-stop-turn"] },
  { name: "left turn signal", by: ["left-turn", "left-stop-turn"] },
  { name: "right turn signal", by: ["right-turn", "right-stop-turn"] },
];

function missingSignals(context: InstallContext): Remark[] {
  return signals.flatMap(({ name, by }): Remark[] => {
    if (context.plan.circuits.some((circuit) => by.includes(circuit.function) && circuit.feeds.length > 0)) return [];
    const text = `No circuit of this plan lights the ${name}.`;
    return [{ code: "signal-missing", severity: "warning", text, source: practice, where: "plan" }];
  });
}

function bulbVoltages(context: InstallContext): Remark[] {
  const { plan, library } = context;
  return plan.sockets.flatMap((socket): Remark[] => {
    const bulb = socket.bulb === undefined ? undefined : findBulb(library, socket.bulb, plan.nominalVolts);
    if (bulb === undefined || Math.abs(bulb.nominalVolts - plan.nominalVolts) < 1) return [];
    const text = `Bulb ${bulb.id} of socket ${socket.id} is for ${bulb.nominalVolts} V; this plan is for ${plan.nominalVolts} V.`;
    return [
      {
        code: "bulb-voltage",
        severity: "problem",
        text,
        value: bulb.nominalVolts,
        limit: plan.nominalVolts,
        unit: "V",
        source: bulb.source,
        where: `socket:${socket.id}`,
      },
    ];
  });
}
