import { timing } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { refusalOf } from "../bench/bench-error.js";
import type { BenchSession } from "../bench/bench-session.js";
import type { ChannelVolts, DriveMeasurement } from "../bench/measurements.js";
import type { PinChannel } from "../plan/adapter.js";
import type { ReadingsDraft } from "./readings-draft.js";
import type { WalkEvent } from "./walk-events.js";
import type { WalkPins } from "./walk-pins.js";
import { WalkTroubleError } from "./walk-trouble.js";

/** What the phases of a walk share. */
export interface WalkContext {
  readonly session: BenchSession;
  readonly pins: WalkPins;
  readonly draft: ReadingsDraft;
  /** Milliseconds that a drive may take to settle. */
  readonly driveMostMs: number;
  readonly tripAmps: number;
  emit(event: WalkEvent): void;
  /** Throws when the walk was cancelled; called before everything that could turn an output on. */
  stopIfCancelled(): void;
}

type VoltsByPin = Record<string, number>;

const liveVolts = timing.liveMillivolts / 1000;

function voltsByPin(pins: readonly PinChannel[], volts: ChannelVolts): VoltsByPin {
  return Object.fromEntries(
    pins.flatMap(({ pin, channel }) => {
      const value = volts[channel];
      return value === undefined ? [] : [[pin, value]];
    }),
  );
}

function allVolts(
  { pins }: WalkContext,
  measured: { volts: ChannelVolts; farVolts?: ChannelVolts },
): {
  volts: VoltsByPin;
  farVolts?: VoltsByPin;
} {
  const volts = voltsByPin(pins.near, measured.volts);
  return measured.farVolts === undefined ? { volts } : { volts, farVolts: voltsByPin(pins.far, measured.farVolts) };
}

/** Every pin with everything off. Returns the pins that are live, which nothing may be fed into. */
export async function measureRest(context: WalkContext): Promise<ReadonlyMap<string, number>> {
  const { session, draft, emit } = context;
  emit({ kind: "phase", phase: "rest", steps: 1 });
  emit({ kind: "step", phase: "rest", index: 0 });
  const { temperatureC } = await session.status();
  const rest = await session.rest();
  const { volts } = allVolts(context, rest);
  draft.noteAmbient(temperatureC);
  draft.noteRest(rest.supplyVolts, volts);
  emit({ kind: "rest", volts });
  return new Map(Object.entries(volts).filter(([, value]) => Math.abs(value) > liveVolts));
}

/** Closes the relay unless it is closed; a latch that an earlier job left is cleared once. */
async function ensureArmed({ session, stopIfCancelled }: WalkContext): Promise<void> {
  if (session.armed) return;
  stopIfCancelled();
  try {
    await session.arm();
  } catch (error) {
    if (refusalOf(error)?.code !== "latched") throw error;
    await session.clear();
    stopIfCancelled();
    await session.arm();
  }
}

/** Runs `work` on each pin; one that the bench itself finds live is told and left out, not a failure of the walk. */
async function eachPin(
  context: WalkContext,
  phase: "low-current" | "drive",
  pins: readonly PinChannel[],
  work: (pin: PinChannel) => Promise<void>,
): Promise<void> {
  context.emit({ kind: "phase", phase, steps: pins.length });
  for (const [index, pin] of pins.entries()) {
    context.stopIfCancelled();
    context.emit({ kind: "step", phase, index, pin: pin.pin });
    try {
      await ensureArmed(context);
      context.stopIfCancelled();
      await work(pin);
    } catch (error) {
      const refusal = refusalOf(error);
      if (refusal?.code !== "live" || refusal.fields.channel !== pin.channel) throw error;
      context.emit({ kind: "skipped", pin: pin.pin, why: liveWords(refusal.fields.volts / 1000) });
    }
  }
}

/** Half a sentence about a pin on which something else stands. */
export function liveWords(volts: number): string {
  return `it carries ${volts.toFixed(2)} V although nothing is driven; find out what feeds it`;
}

/** A few milliamps into each pin, all others looked at meanwhile. */
export async function measureLowCurrent(context: WalkContext, pins: readonly PinChannel[]): Promise<void> {
  await eachPin(context, "low-current", pins, async ({ pin, channel }) => {
    const reading = { pin, ...allVolts(context, await context.session.low(channel)) };
    context.draft.addLowCurrent(reading);
    context.emit({ kind: "low-current", reading });
  });
}

/** Full supply on each pin until its current has settled. A trip is a reading; the walk goes on with the next pin. */
export async function measureDrives(context: WalkContext, pins: readonly PinChannel[]): Promise<void> {
  const { session, draft, emit, driveMostMs } = context;
  await eachPin(context, "drive", pins, async ({ pin, channel }) => {
    const drive = await session.drive(channel, {
      mostMs: driveMostMs,
      onTrace: (point) => emit({ kind: "trace", pin, ...point }),
    });
    const tripped = isTrip(drive, context.tripAmps);
    if (!tripped) requireMeasured(drive, pin);
    const reading = {
      pin,
      amps: drive.amps,
      ...allVolts(context, drive),
      peakAmps: drive.peakAmps,
      ...(drive.end === "settled" ? { settleMs: drive.settleMs } : {}),
      tripped,
    };
    draft.addDrive(reading);
    emit({ kind: "drive", reading, end: drive.end });
    if (drive.end === "fast-trip") await session.clear();
  });
}

/** A short that pulls the supply out of its window before the limit's time is up is a trip all the same. */
function isTrip({ end, amps, peakAmps }: DriveMeasurement, tripAmps: number): boolean {
  return end === "slow-trip" || end === "fast-trip" || (end === "supply" && Math.max(amps, peakAmps) > tripAmps);
}

/** Throws where the drive's end says nothing about the vehicle. */
function requireMeasured({ end, supplyVolts }: DriveMeasurement, pin: string): void {
  switch (end) {
    case "settled":
    case "time":
    case "slow-trip":
    case "fast-trip":
      return;
    case "supply":
      throw new WalkTroubleError({
        code: "supply",
        message: `The supply stood at ${supplyVolts.toFixed(2)} V while ${pin} was driven, outside its window. Use a charged 12 V battery or a stronger supply, and repeat the walk.`,
      });
    case "silence":
    case "garbled":
    case "unkept":
    case "asked":
      throw new WalkTroubleError({
        code: "interrupted",
        message: `The drive of ${pin} was broken off (${end}); everything is off. Check the cable to the bench, and repeat the walk.`,
      });
  }
}
