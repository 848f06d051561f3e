import { connectorOf } from "../plan/connectors.js";
import type { Plan } from "../plan/plan-schema.js";
import { functionWords } from "./function-words.js";

/** `left-rear.bright` → `left rear, bright`, with the place that the plan gives for the socket. */
export function lampWords(plan: Plan, lamp: string): string {
  const [socketId = lamp, filament = ""] = lamp.split(".");
  const socket = plan.kind === "install" ? plan.sockets.find((one) => one.id === socketId) : undefined;
  const place = socket?.place ?? socketId.replaceAll("-", " ");
  return filament === "" || !hasDim(plan, socketId) ? place : `${place}, ${filament}`;
}

/** Of a lamp with one filament, nobody says which. */
function hasDim(plan: Plan, socketId: string): boolean {
  if (plan.kind === "cable") return false;
  return plan.circuits.some((circuit) => circuit.feeds.some((feed) => feed.to === `${socketId}.dim`));
}

/** `LT` → `LT, left stop and turn`. */
export function pinWords(plan: Plan, pin: string): string {
  const use = pinUse(plan, pin);
  return use === undefined ? pin : `${pin}, ${use}`;
}

/** What a pin of the near connector is for in this plan; undefined for a pin that the connector does not have. */
export function pinUse(plan: Plan, pin: string): string | undefined {
  const own = connectorOf(plan).pins.find((one) => one.pin === pin);
  if (own === undefined) return undefined;
  if (plan.kind === "cable") {
    const conductor = plan.conductors.find((one) => one.near === pin);
    return conductor ? `${own.use}, to ${conductor.far}` : own.use;
  }
  // What the connector calls the circuit, unless the plan uses the pin for something else.
  const planned = pin === plan.ground.pin ? "ground" : plan.circuits.find((one) => one.pin === pin)?.function;
  return planned === undefined || planned === own.function ? own.use : functionWords[planned];
}
