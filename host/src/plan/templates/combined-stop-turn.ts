import type { Socket } from "../plan-schema.js";
import { installStart } from "./install-start.js";
import type { PlanTemplate } from "./plan-template.js";

const socket = (side: "left" | "right"): Socket => ({ id: `${side}-rear`, place: `${side} rear`, bulb: "1157" });

/** One bulb a side for tail, stop and turn: what the combined signals of the tow vehicle ask for. */
export const combinedStopTurn: PlanTemplate = {
  id: "combined-stop-turn",
  kind: "install",
  title: "Combined stop and turn, with isolation diodes",
  detail:
    "One red lamp a side does tail, stop and turn. Diodes keep the two vehicles apart: one towards the tow vehicle for each feed, one on the vehicle's own feed.",
  connectors: ["round-6", "blade-7", "flat-4", "flat-5"],
  farConnectors: [],
  make: (connectorId) =>
    installStart({
      name: "Combined stop and turn",
      connectorId,
      isolation: "silicon-6a",
      sockets: [socket("left"), socket("right")],
      lights: {
        tail: ["left-rear.dim", "right-rear.dim"],
        "left-stop-turn": ["left-rear.bright"],
        "right-stop-turn": ["right-rear.bright"],
      },
    }),
};
