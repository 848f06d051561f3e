import { timing } from "@pinwalk/firmware-protocol/generated/protocol.js";
import type { BenchIdentity } from "../../bench/bench-identity.js";
import type { SelfCheck } from "../../bench/self-check.js";
import { type SelfTestItem, testedItem } from "./self-test-item.js";

/** Two counts and a half of the converter, 4 mV each: what a grounded input may show. */
const mostGroundVolts = 0.01;
/** Offset of the amplifier (0.5 mV over 20 mΩ: 25 mA) and three counts: 10 mA each, 50 mA each for the ×4 one. */
const mostZeroAmps = 0.055;
const mostZeroPeakAmps = 0.175;
/** The chip's own reference (ATmega328P data sheet): 1.0 to 1.2 V; some room for the external one's tolerance. */
const bandgapVolts = { least: 0.99, most: 1.21 } as const;
/** A workshop; outside it the sensor is torn off or shorted. */
const roomC = { least: -30, most: 60 } as const;

const millivolts = (volts: number): string => `${Math.round(volts * 1000)} mV`;

/** What the bench says of itself with everything off, whatever is plugged in. */
export function ownValues(check: SelfCheck, identity: BenchIdentity): readonly SelfTestItem[] {
  const { groundVolts, spareVolts, bandgapVolts: bandgap, temperatureC, zeroAmps, zeroPeakAmps, supplyVolts } = check;
  const [supplyLeast, supplyMost] = [timing.supplyMinMillivolts / 1000, timing.supplyMaxMillivolts / 1000];
  return [
    testedItem(
      "ground",
      groundVolts <= mostGroundVolts && spareVolts <= mostGroundVolts,
      `The grounded inputs 15 and 14 show ${millivolts(groundVolts)} and ${millivolts(spareVolts)}.`,
      "The near multiplexer: its ground, its four select lines, inputs 14 and 15 tied to ground, and its common pin to PC0.",
    ),
    testedItem(
      "reference",
      bandgap >= bandgapVolts.least && bandgap <= bandgapVolts.most,
      `The chip's own 1.1 V measures ${bandgap.toFixed(3)} V against the reference.`,
      "The 4.096 V reference on AREF: its supply, its solder joints, its capacitor.",
    ),
    testedItem(
      "thermistor",
      temperatureC >= roomC.least && temperatureC <= roomC.most,
      `The sensor says ${temperatureC.toFixed(1)} °C.`,
      "The NTC on near input 13 and its 10 kΩ to the reference: torn off reads very cold, shorted very hot.",
    ),
    testedItem(
      "current-zero",
      zeroAmps <= mostZeroAmps && zeroPeakAmps <= mostZeroPeakAmps,
      `With nothing driven the two amplifiers show ${(zeroAmps * 1000).toFixed(0)} and ${(zeroPeakAmps * 1000).toFixed(0)} mA.`,
      "The amplifiers on the shunt: their gain resistors, their ground at the shunt itself, a main relay that does not open.",
    ),
    testedItem(
      "supply",
      supplyVolts >= supplyLeast && supplyVolts <= supplyMost,
      `The supply stands at ${supplyVolts.toFixed(2)} V.`,
      `The fuse at the supply's source, its leads, and the divider to PC3; it has to be ${supplyLeast} to ${supplyMost} V.`,
    ),
    constants(check.goodCopies, identity.calibratedAt),
  ];
}

function constants(goodCopies: number, calibratedAt: string | undefined): SelfTestItem {
  const id = "constants";
  if (calibratedAt === undefined) {
    return {
      id,
      verdict: "unsure",
      words: "The bench runs on design values: it was never calibrated, or has lost its constants.",
      lookAt:
        "the calibration (on the Bench page, or pinwalk calibrate): until then every reading carries the larger uncertainty of the design.",
    };
  }
  const words = `Calibrated ${calibratedAt}; ${goodCopies} of 2 copies of the constants are good.`;
  if (goodCopies >= 2) return { id, verdict: "pass", words };
  return {
    id,
    verdict: "unsure",
    words,
    lookAt: "Calibrating once more writes the bad copy anew. If it is bad again, the controller's memory wears out.",
  };
}
