/** What a conductor may do while the cable is moved. Each can be set otherwise. */
export interface FlexThresholds {
  /** Milliseconds; a shorter interruption is not counted. The bench itself tells none under 0.75 ms. */
  readonly leastGapMs: number;
  /** Interruptions that a good conductor may have. */
  readonly mostGaps: number;
  /** Greatest less least resistance over the watch, ohms, each a mean over about 0.13 s. */
  readonly mostSpreadOhms: number;
}

/**
 * No interruption of 1 ms or longer: a flasher or a lamp does not show one, a control module may (common practice, no source).
 * 0.1 Ω: several times what the whole connection of a 2.8 mm contact may have (10 to 20 mΩ, SAE/USCAR-2 from memory).
 */
export const usualFlexThresholds: FlexThresholds = { leastGapMs: 1, mostGaps: 0, mostSpreadOhms: 0.1 };
