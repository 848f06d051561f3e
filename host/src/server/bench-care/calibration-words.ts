import type { CalibratingEvent } from "../../procedures/calibration/calibrating.js";
import type { CalibrationStep } from "../../procedures/calibration/calibration-steps.js";
import type { CalibrationView } from "./bench-care-contract.js";
import { type HandWork, usualSupplyVolts } from "./simulated-hands.js";

/** What must not go wrong at a step, where the step is. */
export const stepCautions: Readonly<Record<CalibrationStep["id"], string | null>> = {
  supply:
    "A battery or supply of this kind can start a fire when its leads touch. Let the meter's tips touch one terminal each.",
  "other-supply": "Change the supply with nothing on the connectors, and stay within 10 to 16 V.",
  joined: "Feed the plug through its 1 kΩ resistor and in no other way: the bench's inputs are all on it.",
  "low-open": null,
  "low-resistor": "The bench gives a few milliamps now. No more is driven at this step.",
  resistor:
    "The bench drives full supply into the resistor for up to two seconds: up to 75 W. Lay it on something that does not burn, and do not touch it afterwards.",
  write: "From here on the bench measures by the new constants. Stop instead, and it stays as it was.",
};

/** The name of a step in the list of those that are done. */
export const stepNames: Readonly<Record<CalibrationStep["id"], string>> = {
  supply: "Supply",
  "other-supply": "Supply at another voltage",
  joined: "Joined inputs",
  "low-open": "Low-current source, open",
  "low-resistor": "Low-current source, loaded",
  resistor: "Drive into a known resistor",
  write: "Write and read back",
};

type Found = Extract<CalibratingEvent, { kind: "found" }>;

/** Residuals and the uncertainty that follows, as rows for a person to decide by before anything is written. */
export function foundRows({ uncertainty, residuals }: Found): CalibrationView["found"] {
  const milli = (value: number, unit: string) => `${(value * 1000).toFixed(1)}\u00a0m${unit}`;
  const both = ({ relative, offset }: Found["uncertainty"]["volts"], unit: string) =>
    `${(relative * 100).toFixed(2)}\u00a0% and ${milli(offset, unit)}`;
  return [
    { name: "Uncertainty of volts (k\u00a0=\u00a01)", figure: both(uncertainty.volts, "V") },
    { name: "Uncertainty of amps (k\u00a0=\u00a01)", figure: both(uncertainty.amps, "A") },
    { name: "Farthest from its line: pins", figure: milli(residuals.pinVolts, "V") },
    { name: "Farthest from its line: supply", figure: milli(residuals.supplyVolts, "V") },
    { name: "Farthest from its line: current", figure: milli(residuals.amps, "A") },
  ];
}

const otherSupply = 15;
/** Volts that feed the plug so that about 11, 7 and 3 V stand at it, behind its 1 kΩ and 26 inputs of 133 kΩ. */
const plugFeeds = [13.1, 8.4, 3.6] as const;

/** The same step on the virtual bench. */
export function calibrationHandWork(
  { id, index }: CalibrationStep,
  resistors: readonly { readonly value: number }[],
  lowResistor: { readonly value: number },
): HandWork {
  const base = {
    supplyVolts: usualSupplyVolts,
    meter: null,
    pluggedIn: "nothing",
    fixture: { kind: "nothing" },
  } as const;
  const resistor = (ohms: number): HandWork => ({
    ...base,
    fixture: { kind: "resistor", ohms },
    pluggedIn: `${ohms}\u00a0Ω at the pin of channel\u00a00`,
    offer: `Put ${ohms}\u00a0Ω on the virtual bench`,
  });
  switch (id) {
    case "supply":
      return { ...base, meter: "supply", offer: "Read the simulated meter" };
    case "other-supply":
      return {
        ...base,
        supplyVolts: otherSupply,
        meter: "supply",
        offer: `Set ${otherSupply}\u00a0V and read the simulated meter`,
      };
    case "joined":
      return {
        ...base,
        fixture: { kind: "calibration-plug", feedVolts: plugFeeds[index] ?? plugFeeds[0] },
        pluggedIn: "the calibration plug",
        meter: "plug",
        offer: "Put the plug on and read the simulated meter",
      };
    case "low-open":
    case "write":
      return { ...base, offer: "Take everything off the virtual bench" };
    case "low-resistor":
      return resistor(lowResistor.value);
    case "resistor":
      return resistor(resistors[index]?.value ?? 10);
  }
}
