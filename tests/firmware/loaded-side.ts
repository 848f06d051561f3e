import type { AnalogSide, Switching } from "@pinwalk/host/bench/virtual/board/analog-side.js";

const SOURCE_OHMS = 0.1;
const SUPPLY_SHARE = 0.5;
const OFF: Switching = { supplyVolts: 0, relayClosed: false, driveMask: 0, lowMask: 0 };

/** Ohms of a load so many seconds after its channel went on. */
export type Load = (secondsOn: number) => number;

/** Volts at a moment in seconds of emulated time. */
export type Course = (atSeconds: number) => number;

/** A connector with one load per channel, none joined to another: enough to provoke every duty by the book. */
export class LoadedSide implements AnalogSide {
  /** Open where nothing is set. */
  readonly loads = new Map<number, Load>();
  /** Volts that a foreign supply puts on a channel. */
  readonly foreign = new Map<number, number | Course>();
  /** Volts on a channel of the far connector. */
  readonly far = new Map<number, number | Course>();
  /** Farads from a channel to ground, to be charged by the low-current source; empty when it goes on. */
  readonly charging = new Map<number, number>();
  #switching = OFF;
  #onSince = 0;
  #fedSince = 0;

  switchTo(switching: Switching, atSeconds: number): void {
    const { driveMask, relayClosed } = this.#switching;
    if (switching.driveMask !== driveMask || switching.relayClosed !== relayClosed) this.#onSince = atSeconds;
    if (switching.lowMask !== this.#switching.lowMask) this.#fedSince = atSeconds;
    this.#switching = switching;
  }

  nearVolts(channel: number, atSeconds: number): number {
    const foreign = at(this.foreign.get(channel), atSeconds);
    if (this.#drives(channel)) {
      return Math.max(foreign, this.#switching.supplyVolts - SOURCE_OHMS * this.shuntAmps(atSeconds));
    }
    if (((this.#switching.lowMask >> channel) & 1) === 0) return foreign;
    const ohms = this.loads.get(channel)?.(0) ?? 133_000;
    const settled = (4.4 * ohms) / (ohms + 1000);
    const farads = this.charging.get(channel) ?? 0;
    const left = farads === 0 ? 0 : Math.exp((this.#fedSince - atSeconds) / (((1000 * ohms) / (1000 + ohms)) * farads));
    return Math.max(foreign, settled * (1 - left));
  }

  farVolts(channel: number, atSeconds: number): number {
    return at(this.far.get(channel), atSeconds);
  }

  shuntAmps(atSeconds: number): number {
    let siemens = 0;
    for (const [channel, load] of this.loads) {
      if (this.#drives(channel)) siemens += 1 / load(atSeconds - this.#onSince);
    }
    return siemens === 0 ? 0 : this.#switching.supplyVolts / (1 / siemens + SOURCE_OHMS);
  }

  supplyVolts(atSeconds: number): number {
    return this.#switching.supplyVolts - SOURCE_OHMS * SUPPLY_SHARE * this.shuntAmps(atSeconds);
  }

  #drives(channel: number): boolean {
    return this.#switching.relayClosed && ((this.#switching.driveMask >> channel) & 1) === 1;
  }
}

function at(volts: number | Course | undefined, atSeconds: number): number {
  return typeof volts === "function" ? volts(atSeconds) : (volts ?? 0);
}

/** A load that never changes. */
export function steady(ohms: number): Load {
  return () => ohms;
}
