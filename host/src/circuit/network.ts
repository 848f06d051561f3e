import type { DiodeModel } from "./diode.js";
import type { FilamentModel } from "./filament.js";
import type { LedModel } from "./led.js";

/**
 * An electrical network: two-terminal parts between named nodes. The solver knows nothing of pins or lamps.
 * Volts, amps, ohms, °C. A positive current runs through a part from its first node to its second.
 */
export interface Network {
  /** The node that all voltages are measured against. */
  readonly reference: string;
  readonly parts: readonly Part[];
}

/** `ohms: 0` ties its two nodes together, as does anything below 20 µΩ. */
export interface ResistorPart {
  readonly kind: "resistor";
  readonly id: string;
  readonly a: string;
  readonly b: string;
  readonly ohms: number;
}

/** `volts` behind `ohms` (0 for an ideal source). Its current is counted from plus through the part to minus: a source that delivers reads negative. */
export interface SourcePart {
  readonly kind: "source";
  readonly id: string;
  readonly plus: string;
  readonly minus: string;
  readonly volts: number;
  readonly ohms: number;
}

/** Pushes `amps` through itself from `from` to `to`, whatever the voltage. */
export interface CurrentSourcePart {
  readonly kind: "current-source";
  readonly id: string;
  readonly from: string;
  readonly to: string;
  readonly amps: number;
}

export interface DiodePart {
  readonly kind: "diode";
  readonly id: string;
  readonly anode: string;
  readonly cathode: string;
  readonly model: DiodeModel;
  /** Junction temperature. */
  readonly celsius: number;
}

/** A lamp's filament, settled (its resistance follows its voltage) unless a prepared network holds it at a resistance. */
export interface FilamentPart {
  readonly kind: "filament";
  readonly id: string;
  readonly a: string;
  readonly b: string;
  readonly model: FilamentModel;
  /** Temperature of the cold filament's surroundings. */
  readonly celsius: number;
}

export interface LedPart {
  readonly kind: "led";
  readonly id: string;
  readonly anode: string;
  readonly cathode: string;
  readonly model: LedModel;
}

export type Part = ResistorPart | SourcePart | CurrentSourcePart | DiodePart | FilamentPart | LedPart;

/** Why a network cannot be solved at all, as data; `text` is ready for people. */
export type NetworkProblem =
  | { readonly code: "bad-value"; readonly part: string; readonly text: string }
  | { readonly code: "same-id"; readonly part: string; readonly text: string }
  | { readonly code: "no-reference"; readonly node: string; readonly text: string }
  | { readonly code: "floating"; readonly nodes: readonly string[]; readonly text: string }
  | { readonly code: "source-loop"; readonly parts: readonly string[]; readonly text: string };
