import { driveChannels } from "@pinwalk/firmware-protocol/generated/protocol.js";
import type { BenchSession } from "../../bench/bench-session.js";
import type { ChannelVolts } from "../../bench/measurements.js";
import { senseOhms } from "../calibration/bench-resolution.js";
import { type SelfTestItem, testedItem } from "./self-test-item.js";

/** More than leakage makes of a pin with nothing on it. */
const mostQuietVolts = 0.15;
/** The 5 V rail and a small-signal diode scatter by this much (common practice, no source). */
const lowToleranceVolts = 0.4;

const list = (channels: readonly number[]): string => channels.join(", ");

function loud(volts: ChannelVolts, most: number, except?: number): number[] {
  return volts.flatMap((value, channel) => (channel !== except && (value ?? 0) > most ? [channel] : []));
}

/** Every pin with nothing plugged in: dividers quiet, each low-current source at its open voltage and on its own pin alone. */
export async function barePins(session: BenchSession, stopIfCancelled: () => void): Promise<readonly SelfTestItem[]> {
  const { volts, farVolts = [] } = await session.rest();
  const near = loud(volts, mostQuietVolts);
  const far = loud(farVolts, mostQuietVolts);
  const quiet = near.length + far.length === 0;
  const places = [near.length > 0 ? `near ${list(near)}` : "", far.length > 0 ? `far ${list(far)}` : ""].filter(
    Boolean,
  );
  const items: SelfTestItem[] = [
    testedItem(
      "dividers",
      quiet,
      quiet
        ? "All 26 inputs are quiet with nothing plugged in."
        : `Not quiet with nothing plugged in: ${places.join(", ")}.`,
      "The 33 kΩ to ground of these dividers, solder bridges to a neighbour, and whether something is plugged in after all.",
    ),
  ];
  const { volts: openVolts, ohms } = (await session.calibration()).lowSource;
  const expected = (openVolts * senseOhms) / (senseOhms + ohms);
  for (let channel = 0; channel < driveChannels; channel += 1) {
    stopIfCancelled();
    await session.arm();
    stopIfCancelled();
    const measured = (await session.low(channel)).volts;
    await session.off();
    const own = measured[channel] ?? 0;
    const others = loud(measured, mostQuietVolts, channel);
    const bridged = others.length > 0 ? `, and so do channels ${list(others)}` : "";
    items.push(
      testedItem(
        `low-${channel}`,
        Math.abs(own - expected) <= lowToleranceVolts && others.length === 0,
        `Channel ${channel} fed with a few milliamps reads ${own.toFixed(2)} V of ${expected.toFixed(2)} V${bridged}.`,
        others.length > 0
          ? "A bridge between these pins, at the connector or on the board."
          : "This channel's 595 output, its diode's direction, its 1 kΩ, its divider, and a P-MOSFET that leaks.",
      ),
    );
  }
  return items;
}
