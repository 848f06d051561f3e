import type { AnalogSide, Switching } from "../board/analog-side.js";

/** When a contact is loose, emulated seconds. */
export interface LooseTime {
  readonly fromSeconds: number;
  readonly toSeconds: number;
}

/**
 * A vehicle or cable one of whose contacts is loose: for set times it is the same thing with one fault more. Exact to the
 * conversion, so that an interruption of a millisecond is one.
 */
export class LooseContact implements AnalogSide {
  readonly #sound: AnalogSide;
  readonly #loose: AnalogSide;
  readonly #times: readonly LooseTime[];

  constructor(sound: AnalogSide, loose: AnalogSide, times: readonly LooseTime[]) {
    this.#sound = sound;
    this.#loose = loose;
    this.#times = times;
  }

  switchTo(switching: Switching, atSeconds: number): void {
    this.#sound.switchTo(switching, atSeconds);
    this.#loose.switchTo(switching, atSeconds);
  }

  nearVolts(channel: number, atSeconds: number): number {
    return this.#at(atSeconds).nearVolts(channel, atSeconds);
  }

  farVolts(channel: number, atSeconds: number): number {
    return this.#at(atSeconds).farVolts(channel, atSeconds);
  }

  shuntAmps(atSeconds: number): number {
    return this.#at(atSeconds).shuntAmps(atSeconds);
  }

  supplyVolts(atSeconds: number): number {
    return this.#at(atSeconds).supplyVolts(atSeconds);
  }

  #at(atSeconds: number): AnalogSide {
    const isLoose = this.#times.some(({ fromSeconds, toSeconds }) => fromSeconds <= atSeconds && atSeconds < toSeconds);
    return isLoose ? this.#loose : this.#sound;
  }
}
