import type { CircuitFunction } from "../circuit-function.js";
import { type InstallContext, placedFeeds } from "./install-context.js";
import { practice, type Remark } from "./remark.js";

const letter =
  "NHTSA letter aiam4658: combined stop and turn lamps are those with red rear turn lenses; amber is for separate ones";
const converter = "wt4x4.com/tech/7wire.htm: joining separate and combined systems needs a converter";
const separate: readonly CircuitFunction[] = ["stop", "left-turn", "right-turn"];
const combined: readonly CircuitFunction[] = ["left-stop-turn", "right-stop-turn"];

/** Combined against separate stop and turn signals, and circuits on a pin that is for something else. */
export function stopTurn(context: InstallContext): Remark[] {
  return [...pinFunctions(context), ...sharedLamps(context), ...amberStops(context)];
}

function pinFunctions(context: InstallContext): Remark[] {
  return context.plan.circuits.flatMap((circuit): Remark[] => {
    const pin = context.pinOf(circuit.pin);
    if (pin === undefined || pin.function === circuit.function || pin.function === "auxiliary") return [];
    const where = `pin:${circuit.pin}`;
    const mixes =
      (combined.includes(pin.function) && separate.includes(circuit.function)) ||
      (separate.includes(pin.function) && combined.includes(circuit.function));
    if (mixes) {
      const text = `Pin ${circuit.pin} carries ${pin.use} and the plan's circuit is ${circuit.function}: combined and separate signals need a converter between them.`;
      return [{ code: "combined-separate", severity: "warning", text, source: converter, where }];
    }
    const text = `Pin ${circuit.pin} of this connector is for ${pin.use}; the plan puts ${circuit.function} on it.`;
    return [{ code: "pin-function", severity: "warning", text, source: pin.source, where }];
  });
}

/** One lamp fed by a stop and by a turn circuit: while the brake is on, the turn signal cannot be seen. */
function sharedLamps(context: InstallContext): Remark[] {
  const byLamp = new Map<string, CircuitFunction[]>();
  for (const { circuit, feed } of placedFeeds(context.plan)) {
    byLamp.set(feed.to, [...(byLamp.get(feed.to) ?? []), circuit.function]);
  }
  return [...byLamp].flatMap(([lamp, functions]): Remark[] => {
    const turn = functions.some((one) => one === "left-turn" || one === "right-turn");
    if (!turn || !functions.includes("stop")) return [];
    const text = `${lamp} is fed by stop and by turn: with the brake on it stays lit and its turn signal cannot be seen; a converter merges the two.`;
    return [{ code: "stop-hides-turn", severity: "warning", text, source: converter, where: `lamp:${lamp}` }];
  });
}

/** A lamp that shows amber must not be a stop lamp. Known by its bulb (PY, WY) or by the word in the socket's place. */
function amberStops(context: InstallContext): Remark[] {
  return placedFeeds(context.plan).flatMap(({ circuit, feed }): Remark[] => {
    if (circuit.function !== "stop" && !combined.includes(circuit.function)) return [];
    const socket = context.plan.sockets.find((one) => one.id === feed.to.split(".")[0]);
    const amber =
      /^[PW]Y\d/.test(socket?.bulb ?? "") ||
      /\bamber\b/i.test(`${socket?.place ?? ""} ${socket?.id.replaceAll("-", " ") ?? ""}`);
    if (!amber) return [];
    const text = `${feed.to} is an amber lamp on a circuit that carries the stop signal (${circuit.function}): it would show amber for braking.`;
    return [
      { code: "stop-on-amber", severity: "warning", text, source: `${letter}; ${practice}`, where: `lamp:${feed.to}` },
    ];
  });
}
