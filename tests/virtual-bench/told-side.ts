import type { AnalogSide, Switching } from "@pinwalk/host/bench/virtual/board/analog-side.js";

/** A connector that shows what it is told to, and remembers how the bench's switches stood. */
export class ToldSide implements AnalogSide {
  readonly near = new Array<number>(13).fill(0);
  readonly far = new Array<number>(13).fill(0);
  /** Amps while a drive channel has the supply. */
  drivenAmps = 0;
  supply = 12.8;
  readonly switchings: { readonly atSeconds: number; readonly switching: Switching }[] = [];

  switchTo(switching: Switching, atSeconds: number): void {
    this.switchings.push({ atSeconds, switching });
  }

  nearVolts(channel: number): number {
    return this.near[channel] ?? 0;
  }

  farVolts(channel: number): number {
    return this.far[channel] ?? 0;
  }

  shuntAmps(): number {
    const now = this.switchings.at(-1)?.switching;
    return now?.relayClosed === true && now.driveMask !== 0 ? this.drivenAmps : 0;
  }

  supplyVolts(): number {
    return this.supply;
  }
}
