import type { CircuitVerdict, Findings } from "../../diagnosis/findings.js";

/** What a customer reads for a circuit's function; names that are not here are shown as the plan has them. */
const functionWords: Readonly<Record<string, string>> = {
  ground: "Ground",
  tail: "Tail lamps",
  "left-stop-turn": "Left stop and turn",
  "right-stop-turn": "Right stop and turn",
  stop: "Stop lamps",
  "left-turn": "Left turn",
  "right-turn": "Right turn",
  reverse: "Reversing lamps",
  "rear-fog": "Rear fog lamps",
  brake: "Brakes",
  charge: "Charge line",
  auxiliary: "Auxiliary",
};

export function functionName(name: string): string {
  return functionWords[name] ?? name;
}

/** What a customer reads for a circuit's verdict. */
export const verdictWords: Readonly<Record<CircuitVerdict, string>> = {
  pass: "as planned",
  open: "no connection",
  "short-to-ground": "shorted to ground",
  "short-to-power": "foreign voltage on it",
  bridged: "joined to another circuit",
  swapped: "swapped with another",
  "low-current": "too little current",
  "high-current": "too much current",
  "no-ground": "ground missing",
  "not-isolated": "not isolated",
  "not-judged": "not judged",
};

export const overallWords: Readonly<Record<Findings["overall"], { readonly word: string; readonly sentence: string }>> =
  {
    pass: { word: "PASS", sentence: "Every circuit that was tested is as it was planned." },
    fail: { word: "FAIL", sentence: "At least one circuit is not as it was planned. See the results." },
    unsure: {
      word: "NOT DECIDED",
      sentence: "Nothing was found wrong, but not everything could be judged. See what was left open.",
    },
  };
