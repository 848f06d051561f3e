import { type Adapter, adapterOf } from "../../../plan/adapter.js";
import type { Plan } from "../../../plan/plan-schema.js";
import type { AnalogSide, Switching } from "../board/analog-side.js";
import { BOARD, SENSE_OHMS } from "../board/board-values.js";
import { VirtualBenchError } from "../virtual-bench-error.js";
import { isOnAt, type PlayedPin, requireWaveform, requireWithin } from "./played-signal.js";

/** A tow vehicle's outlet on the near connector. */
export interface Outlet {
  readonly pins: readonly PlayedPin[];
  /** Whether the far loads hang on its pins. */
  readonly farLoads?: boolean;
}

const usualVolts = 12.6;
const usualOhms = 0.1;
const farLoadOhms = 47;
const driveOhms = BOARD.path.supplyOhms + BOARD.path.relayOhms + BOARD.shuntOhms + BOARD.path.driveSwitchOhms;
const nothingOn: Switching = { supplyVolts: 0, relayClosed: false, driveMask: 0, lowMask: 0 };

/**
 * A tow vehicle's outlet, whose switches, flasher and modules play from the moment at which it is plugged in: per pin a source behind
 * its wiring, the bench's divider, and a far load where there is one. A pin that is off hangs free.
 */
export class SimulatedOutlet implements AnalogSide {
  readonly #byChannel: ReadonlyMap<number, readonly PlayedPin[]>;
  readonly #loadOhms: number;
  readonly #startSeconds: number;
  #switching = nothingOn;

  /** Throws `bad-setting` for a pin that the plan's connector does not have, its ground, or values out of range. */
  constructor(plan: Plan, { pins, farLoads = false }: Outlet, startSeconds: number) {
    const adapter = adapterOf(plan);
    const byChannel = new Map<number, PlayedPin[]>();
    for (const played of pins) {
      const channel = channelOf(adapter, played.pin);
      requireWaveform(played.waveform);
      requireWithin(`The volts of ${played.pin}`, played.volts ?? usualVolts, 0, 30);
      requireWithin(`The ohms of ${played.pin}`, played.ohms ?? usualOhms, 0.001, 1e6);
      byChannel.set(channel, [...(byChannel.get(channel) ?? []), played]);
    }
    this.#byChannel = byChannel;
    this.#loadOhms = farLoads ? 1 / (1 / SENSE_OHMS + 1 / farLoadOhms) : SENSE_OHMS;
    this.#startSeconds = startSeconds;
  }

  switchTo(switching: Switching): void {
    this.#switching = switching;
  }

  /** The highest of what can stand on the pin: outlet, drive channel, low-current source. */
  nearVolts(channel: number, atSeconds: number): number {
    const { supplyVolts, lowMask } = this.#switching;
    const { volts, ohms } = BOARD.lowSource;
    return Math.max(
      this.#outletVolts(channel, atSeconds),
      this.#isDriven(channel) ? this.#behind(supplyVolts, driveOhms) : 0,
      (lowMask >> channel) & 1 ? this.#behind(volts, ohms) : 0,
    );
  }

  farVolts(): number {
    return 0;
  }

  shuntAmps(atSeconds: number): number {
    let amps = 0;
    for (let channel = 0; channel < BOARD.driveChannels; channel += 1) {
      if (!this.#isDriven(channel)) continue;
      const volts = this.nearVolts(channel, atSeconds);
      amps += Math.max(0, Math.min(volts / this.#loadOhms, (this.#switching.supplyVolts - volts) / driveOhms));
    }
    return amps;
  }

  supplyVolts(atSeconds: number): number {
    return this.#switching.supplyVolts - BOARD.path.supplyOhms * this.shuntAmps(atSeconds);
  }

  #outletVolts(channel: number, atSeconds: number): number {
    const playedSeconds = atSeconds - this.#startSeconds;
    let highest = 0;
    for (const { waveform, volts = usualVolts, ohms = usualOhms } of this.#byChannel.get(channel) ?? []) {
      if (isOnAt(waveform, playedSeconds)) highest = Math.max(highest, this.#behind(volts, ohms));
    }
    return highest;
  }

  #behind(volts: number, ohms: number): number {
    return (volts * this.#loadOhms) / (this.#loadOhms + ohms);
  }

  #isDriven(channel: number): boolean {
    return this.#switching.relayClosed && ((this.#switching.driveMask >> channel) & 1) === 1;
  }
}

function channelOf({ near, groundPins }: Adapter, pin: string): number {
  const place = near.find((one) => one.pin === pin);
  if (place !== undefined && !groundPins.includes(pin)) return place.channel;
  const pins = near.filter((one) => !groundPins.includes(one.pin)).map((one) => one.pin);
  throw new VirtualBenchError("bad-setting", `An outlet plays on ${pins.join(", ")}, not on ${pin}.`);
}
