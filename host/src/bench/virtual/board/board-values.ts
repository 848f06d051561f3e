/**
 * Design values of the reference bench that the virtual one is built with: the bench's build guide, its firmware and this
 * file are one.
 */
export const BOARD = {
  channels: 13,
  driveChannels: 8,
  baud: 250_000,
  referenceVolts: 4.096,
  railVolts: 5,
  /** Divider on every near and far channel and on the supply. */
  divider: { upperOhms: 100_000, lowerOhms: 33_000 },
  shuntOhms: 0.02,
  /** Gains of the two amplifiers on the shunt: 0.4 V/A to measure, 0.08 V/A for inrush. */
  fineGain: 20,
  coarseGain: 4,
  /** Standard deviation of one conversion, in counts (from memory: half a count is what such a board shows). */
  adcNoiseCounts: 0.5,
  fastLimitAmps: 30,
  /** From the current passing the limit to the switches being off: comparator, latch and gate (from memory). */
  fastLimitMicroseconds: 3,
  /** From coil current to contact (common practice for automotive relays, no source); it is taken to open at once. */
  relayClosingMs: 5,
  lowSource: { volts: 4.4, ohms: 1_000 },
  /**
   * How the 0.10 Ω between the supply and a driven pin are shared out; the shunt has the rest. The supply is measured behind
   * `supplyOhms` (fuse, its holder, lead). Common practice for such parts, no source.
   */
  path: { supplyOhms: 0.05, relayOhms: 0.01, driveSwitchOhms: 0.02 },
  /** Leakage of the open switches to ground, all together: what the bus sees while the relay is open. */
  bleedOhms: 1_000_000,
  /** Thermistor from near input 13 to ground, its resistor to the reference. */
  thermistor: { ohmsAt25C: 10_000, betaKelvin: 3_950, pullUpOhms: 10_000 },
  /** Near multiplexer inputs beyond the channels; 14 is free. */
  thermistorInput: 13,
  groundCheckInput: 15,
} as const;

/** Ohms that each sensed pin sees to ground: 133 kΩ. */
export const SENSE_OHMS = BOARD.divider.upperOhms + BOARD.divider.lowerOhms;
