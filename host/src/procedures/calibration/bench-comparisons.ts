import { channels } from "@pinwalk/firmware-protocol/generated/protocol.js";
import type { BenchSession } from "../../bench/bench-session.js";
import { WalkTroubleError } from "../walk-trouble.js";
import type { KnownResistor } from "./calibration-steps.js";

/** Two figures for one quantity that differ by more than this share are a slip of the pen, or a plug in the wrong place. */
const slipShare = 0.15;
const firstChannel = 0;
/** A resistor has settled long before. */
const driveMostMs = 2000;

export function calibrationTrouble(code: string, message: string): WalkTroubleError {
  return new WalkTroubleError({ code, message });
}

/** Volts at channel 0's pin while it is fed by the low-current source. Off and disarmed when it resolves. */
export async function lowAtFirstPin(session: BenchSession, stopIfCancelled: () => void): Promise<number> {
  await session.arm();
  stopIfCancelled();
  const { volts } = await session.low(firstChannel);
  await session.off();
  return volts[firstChannel] ?? 0;
}

/** Amps and volts of channel 0's pin, driven into a known resistor. Off and disarmed when it resolves. */
export async function driveInto(
  session: BenchSession,
  { value }: KnownResistor,
  stopIfCancelled: () => void,
): Promise<{ readonly amps: number; readonly volts: number }> {
  await session.arm();
  stopIfCancelled();
  const { end, amps, volts } = await session.drive(firstChannel, { mostMs: driveMostMs });
  await session.off();
  const pinVolts = volts[firstChannel];
  if ((end !== "settled" && end !== "time") || pinVolts === undefined) {
    throw calibrationTrouble(
      "resistor",
      `The drive into the ${value} Ω resistor ended early (${end}). Check the resistor and the supply. Nothing was written.`,
    );
  }
  requireLikely(amps, pinVolts / value, `the current into the ${value} Ω resistor`);
  return { amps, volts: pinVolts };
}

/** Refuses what no bench of this design could be off by. */
export function requireLikely(one: number, other: number, what: string): void {
  if (other > 0 && Math.abs(one / other - 1) <= slipShare) return;
  throw calibrationTrouble(
    "unlikely",
    `For ${what} ${one.toFixed(2)} stands against ${other.toFixed(2)}: too far apart for a bench that works. Check the reading and the wiring. Nothing was written.`,
  );
}

/** Every near and far channel, in this order, has to show what the meter shows. */
export function requireJoined(meterVolts: number, volts: readonly (number | undefined)[]): void {
  for (const [index, value] of volts.entries()) {
    const name = index < channels ? `near channel ${index}` : `far channel ${index - channels}`;
    requireLikely(value ?? 0, meterVolts, name);
  }
}
