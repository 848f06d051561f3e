import type { Socket } from "../plan-schema.js";
import { templateConnector } from "./circuit-start.js";
import { installStart } from "./install-start.js";
import type { PlanTemplate } from "./plan-template.js";

const sides = ["left", "right"] as const;

/**
 * Separate amber turn lamps. A connector with turn circuits of its own lights them; where the tow vehicle sends stop and
 * turn on one wire, the red lamps take both and the amber ones are left to the vehicle, as amber must not show braking.
 */
export const amberTurn: PlanTemplate = {
  id: "amber-turn",
  kind: "install",
  title: "Separate amber turn lamps",
  detail:
    "The vehicle turns with amber lamps and stops with red ones. On a connector with combined signals the red lamps take stop and turn; the amber lamps stay the vehicle's own and are not in the plan.",
  connectors: ["blade-7", "round-6", "iso-11446", "iso-1724", "round-7-heavy"],
  farConnectors: [],
  make: (connectorId) => {
    const connector = templateConnector(connectorId);
    const european = connector.conventions[0] === "iso";
    const separate = connector.pins.some((pin) => pin.function === "left-turn");
    const red = european ? "P21/5W" : "1157";
    const amber = european ? "PY21W" : "1156";
    return installStart({
      name: "Separate amber turn lamps",
      connectorId,
      isolation: "silicon-6a",
      sockets: sides.flatMap((side): Socket[] => [
        { id: `${side}-rear`, place: `${side} rear, red`, bulb: red },
        ...(separate ? [{ id: `${side}-turn`, place: `${side} rear, amber`, bulb: amber }] : []),
      ]),
      lights: {
        tail: ["left-rear.dim", "right-rear.dim"],
        stop: ["left-rear.bright", "right-rear.bright"],
        "left-turn": ["left-turn.bright"],
        "right-turn": ["right-turn.bright"],
        "left-stop-turn": ["left-rear.bright"],
        "right-stop-turn": ["right-rear.bright"],
      },
    });
  },
};
