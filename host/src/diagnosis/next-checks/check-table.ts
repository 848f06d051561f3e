import type { Check, CheckKind } from "./check-kind.js";
import { inspectPart } from "./inspect-part.js";
import { lookAtLamp } from "./look-at-lamp.js";
import { measureDrop } from "./measure-drop.js";
import { probeVoltage } from "./probe-voltage.js";
import { switchVehicle } from "./switch-vehicle.js";
import { unplugLamp } from "./unplug-lamp.js";
import { walkRound } from "./walk-round.js";

/** Everything that a person can be asked to look at, touch or measure. */
export const checkTable: readonly CheckKind[] = [
  lookAtLamp,
  switchVehicle,
  walkRound,
  inspectPart,
  probeVoltage,
  measureDrop,
  unplugLamp,
];

/** The kind of a check by its key; undefined for a check that no kind knows. */
export function kindOfCheck(check: Check): CheckKind | undefined {
  return checkTable.find(({ key }) => key in check);
}
