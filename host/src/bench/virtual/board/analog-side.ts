/** Positions of everything on the bench that can put current into the connector. */
export interface Switching {
  /** Volts of the supply before any load. */
  readonly supplyVolts: number;
  /** Whether the main relay lets the supply through to the drive channels. */
  readonly relayClosed: boolean;
  /** Drive channels whose switch conducts: bit n for channel n. */
  readonly driveMask: number;
  /** Low-current channels that are on. */
  readonly lowMask: number;
}

/**
 * What is connected to the bench, as the bench's electronics meet it. Seconds are emulated time and never go back;
 * a question may be asked for any time from the last switching on.
 */
export interface AnalogSide {
  /** Takes over new switch positions. */
  switchTo(switching: Switching, atSeconds: number): void;
  /** Volts on a channel of the near connector against the bench's ground. */
  nearVolts(channel: number, atSeconds: number): number;
  /** Volts on a channel of the far connector against the bench's ground. */
  farVolts(channel: number, atSeconds: number): number;
  /** Amps through the shunt in the common supply. */
  shuntAmps(atSeconds: number): number;
  /** Volts of the supply where the bench measures it: behind fuse and lead, before the relay. */
  supplyVolts(atSeconds: number): number;
}
