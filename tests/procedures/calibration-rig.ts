import type { AnalogSide, Switching } from "@pinwalk/host/bench/virtual/board/analog-side.js";

interface Error {
  readonly gain: number;
  readonly offset: number;
}

/** What a bench of real parts is off by: true x gain + offset is what reaches its converter's divider. */
export interface RigErrors {
  readonly near: (channel: number) => Error;
  readonly far: (channel: number) => Error;
  readonly supply: Error;
  readonly current: Error;
  readonly low: { readonly volts: number; readonly ohms: number };
}

const none: Error = { gain: 1, offset: 0 };
export const noErrors: RigErrors = {
  near: () => none,
  far: () => none,
  supply: none,
  current: none,
  low: { volts: 4.4, ohms: 1000 },
};

const senseOhms = 133_000;
const pathOhms = 0.1;

/** A bench's terminals with what a person puts there to calibrate it, worked out by hand; and what the bench's parts make of it. */
export class CalibrationRig implements AnalogSide {
  supply = 12.8;
  /** Volts on the joined pins; undefined while the plug is off. */
  joinedVolts: number | undefined;
  /** Between channel 0's pin and ground. */
  loadOhms = Number.POSITIVE_INFINITY;
  #switching: Switching | undefined;

  constructor(readonly errors: RigErrors) {}

  switchTo(switching: Switching): void {
    this.#switching = switching;
  }

  /** Truth: volts at the pin of channel 0, and at any other. */
  pinVolts(channel: number): number {
    if (this.joinedVolts !== undefined) return this.joinedVolts;
    const now = this.#switching;
    const isOn = (mask = 0): boolean => ((mask >> channel) & 1) === 1;
    const pinOhms = 1 / ((channel === 0 ? 1 / this.loadOhms : 0) + 1 / senseOhms);
    if (now?.relayClosed === true && isOn(now.driveMask)) return (this.supply * pinOhms) / (pinOhms + pathOhms);
    const { volts, ohms } = this.errors.low;
    return isOn(now?.lowMask) ? (volts * pinOhms) / (pinOhms + ohms) : 0;
  }

  /** Truth: amps that the bench gives. */
  get amps(): number {
    const now = this.#switching;
    if (now?.relayClosed !== true || (now.driveMask & 1) === 0) return 0;
    const volts = this.pinVolts(0);
    return volts / this.loadOhms + volts / senseOhms;
  }

  nearVolts(channel: number): number {
    return seen(this.pinVolts(channel), this.errors.near(channel));
  }

  farVolts(channel: number): number {
    return seen(this.joinedVolts ?? 0, this.errors.far(channel));
  }

  shuntAmps(): number {
    return seen(this.amps, this.errors.current);
  }

  supplyVolts(): number {
    return seen(this.supply, this.errors.supply);
  }
}

function seen(value: number, { gain, offset }: Error): number {
  return value * gain + offset;
}
