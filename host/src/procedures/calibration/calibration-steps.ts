/** What a person does next, and what to answer: a meter's reading in volts, or only that it is done. */
export interface CalibrationStep {
  readonly id: "supply" | "other-supply" | "joined" | "low-open" | "low-resistor" | "resistor" | "write";
  /** Counts steps of one kind from 0. */
  readonly index: number;
  readonly wants: "volts" | "done";
  /** Whether `skip` is an answer. */
  readonly optional: boolean;
  readonly words: string;
}

/** The known resistors, ohms with their standard uncertainty. */
export interface KnownResistor {
  readonly value: number;
  readonly u: number;
}

/** How often the joined inputs are compared; two give a line, the third shows whether it is straight. */
export const joinedComparisons = 3;

/** All steps, in order. */
export function calibrationSteps(
  resistors: readonly KnownResistor[],
  lowResistor: KnownResistor,
): readonly CalibrationStep[] {
  const step = (
    id: CalibrationStep["id"],
    wants: CalibrationStep["wants"],
    words: string,
    { index = 0, optional = false } = {},
  ): CalibrationStep => ({ id, index, wants, optional, words });
  return [
    step(
      "supply",
      "volts",
      "Unplug everything from the connectors. Measure the volts at the bench's supply terminals.",
    ),
    step(
      "other-supply",
      "volts",
      "Set the supply to another voltage within 10 to 16 V, at least 2 V away, and measure there again. Skip this with a battery.",
      { optional: true },
    ),
    ...["about 11 V", "about 7 V", "about 3 V"].map((height, index) =>
      step(
        "joined",
        "volts",
        `Join all near and far pins except ground with the calibration plug, and feed the plug through 1 kΩ with ${height}. Measure the volts at the plug against ground.`,
        { index, optional: index === joinedComparisons - 1 },
      ),
    ),
    step("low-open", "done", "Take the calibration plug off: nothing on the connectors."),
    step("low-resistor", "done", `Put the ${lowResistor.value} Ω resistor between the pin of channel 0 and ground.`),
    ...resistors.map(({ value }, index) =>
      step(
        "resistor",
        "done",
        `Put the ${value} Ω resistor between the pin of channel 0 and ground, away from anything that burns: it gets hot.`,
        { index },
      ),
    ),
    step("write", "done", "Take the resistor off. The constants will be written into the bench."),
  ];
}
