/** What a circuit is for: the words of the plan format. */
export const circuitFunctions = [
  "ground",
  "tail",
  "left-stop-turn",
  "right-stop-turn",
  "stop",
  "left-turn",
  "right-turn",
  "reverse",
  "rear-fog",
  "brake",
  "charge",
  "auxiliary",
] as const;

export type CircuitFunction = (typeof circuitFunctions)[number];
