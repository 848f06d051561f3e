import type { CircuitFunction } from "../plan/circuit-function.js";

/** Functions of the plan format in the trade's words. */
export const functionWords: Readonly<Record<CircuitFunction, string>> = {
  ground: "ground",
  tail: "tail lamps",
  "left-stop-turn": "left stop and turn",
  "right-stop-turn": "right stop and turn",
  stop: "stop lamps",
  "left-turn": "left turn",
  "right-turn": "right turn",
  reverse: "reversing lamps",
  "rear-fog": "rear fog lamp",
  brake: "electric brake",
  charge: "charge line",
  auxiliary: "auxiliary",
};
