import type { Feed, Socket } from "../plan-schema.js";
import { installStart } from "./install-start.js";
import type { PlanTemplate } from "./plan-template.js";

/** LED rear lamps of a car: tail and full brightness, amps at 12.8 V (from memory: lamp makers' data sheets). */
export const rearLed = {
  bright: { kind: "led", amps: 0.35, volts: 12.8 },
  dim: { kind: "led", amps: 0.05, volts: 12.8 },
} as const;

const socket = (side: "left" | "right", place: string): Socket => ({
  id: `${side}-rear`,
  place,
  lamps: { ...rearLed },
});

const lights = {
  tail: ["left-rear.dim", "right-rear.dim"],
  "left-stop-turn": ["left-rear.bright"],
  "right-stop-turn": ["right-rear.bright"],
} as const;

const make = (name: string, connectorId: string, isolation: Feed["isolation"], place: string) =>
  installStart({
    name,
    connectorId,
    isolation,
    sockets: [socket("left", `left rear${place}`), socket("right", `right rear${place}`)],
    lights,
  });

/** LED lamps of the vehicle's own: Schottky diodes, as LED lamps feel every tenth of a volt that is lost. */
export const ledLamps: PlanTemplate = {
  id: "led-lamps",
  kind: "install",
  title: "LED lamps, with Schottky diodes",
  detail:
    "The vehicle's own rear lamps are LED. Schottky diodes lose less voltage; put in the lamps' rated amps, or measure one lamp.",
  connectors: ["blade-7", "round-6", "flat-4", "flat-5"],
  farConnectors: [],
  make: (connectorId) => make("LED lamps", connectorId, "schottky-10a", ""),
};

/** Lamps that only the tow vehicle lights need no diodes. */
export const lampBar: PlanTemplate = {
  id: "lamp-bar",
  kind: "install",
  title: "Added LED lamps, no diodes",
  detail:
    "A lamp bar or lamps added for towing alone. Nothing of the vehicle's own wiring is touched, so nothing has to be kept apart.",
  connectors: ["flat-4", "round-6", "blade-7", "flat-5"],
  farConnectors: [],
  make: (connectorId) => make("Added LED lamps", connectorId, "none", ", added lamp"),
};
