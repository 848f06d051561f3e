/**
 * How sound parts scatter, as standard deviations of the logarithm unless said otherwise. Each quantity has a part that
 * all alike share (one lot of bulbs, one reel of wire) and a part of its own. From memory, no source, but for the
 * lamps: catalogue currents hold within ±10 % (lamp catalogue's terminology page), taken as two and a half deviations in all.
 */
export const partScatter = {
  filamentLot: 0.025,
  filamentOwn: 0.03,
  /** Design values of LED lamps are nominal only. */
  ledLot: 0.05,
  ledOwn: 0.04,
  resistorOwn: 0.03,
  /** Forward voltage of a diode type at its whole range, as the logarithm of its saturation current. */
  diodeLot: { silicon: 1.0, schottky: 2.0 },
  diodeOwn: 0.35,
  /** Steepness of a diode type: volts for each decade of current away from a milliamp. */
  diodeSlopeVoltsPerDecade: 0.012,
  /** Reverse leakage at tens of degrees, amps: a few tenths of a microamp for silicon, some microamps for a Schottky barrier. From memory. */
  diodeLeakAmps: { silicon: 1e-7, schottky: 2.5e-6 },
  /** Share of that by which one diode differs from its lot. */
  diodeLeakOwn: 0.1,
  /** Wire, contacts and joints: gauge by trade number, length by tape, terminals by hand. */
  wireLot: 0.06,
  wireOwn: 0.08,
  contactOwn: 0.5,
  /** A joint where none should be, around what the plan's network puts there. */
  jointOhms: 0.8,
  /** What a foreign supply comes through: a lead, a fuse, a switch, around what the plan's network puts there. */
  foreignOhms: 0.8,
  /** The inrush is sampled some way down its fall, with lamps of unknown cold resistance. */
  inrushLot: 0.08,
  inrushOwn: 0.09,
  /** The same where the lamps may still be warm from another pin's drive. */
  inrushWarm: 0.6,
  /** Far loads in the tester's own socket. */
  farLoadOwn: 0.01,
} as const;

/** Of the bench's stated uncertainty (k = 2), the share that stays the same through a walk; the rest differs from reading to reading. */
export const benchScatter = { steadyShare: 0.6, readingShare: 0.8, coverage: 2 } as const;

/** Supply of the vehicle itself during a back-feed check, volts, and the deviation of any foreign one. From memory: a rested to a charging 12 V battery. */
export const vehicleSupply = { volts: 12.6, deviation: 0.5, foreignDeviation: 1 } as const;
