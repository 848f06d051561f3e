import { driveIsOpen, lowCheckIsOpen } from "../circuit-evidence.js";
import { inAmps, inVolts } from "./amounts.js";
import type { VerdictRule } from "./verdict-rule.js";

/** Nothing flows where a lamp or a conductor should take its current. */
export const open: VerdictRule = {
  verdict: "open",
  reasonFor: (circuit, { readings }) => {
    const { healthy, drive, low } = circuit;
    if (driveIsOpen(circuit, readings)) {
      return `${inAmps(Math.max(0, drive?.amps ?? 0))} instead of ${inAmps(healthy.amps.expected)}: no connection to the load.`;
    }
    if (drive === undefined && lowCheckIsOpen(circuit, readings)) {
      return `${inVolts(low?.volts[healthy.pin] ?? 0)} in the low-current check: no connection to the load.`;
    }
    return undefined;
  },
};
