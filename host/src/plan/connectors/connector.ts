import type { CircuitFunction } from "../circuit-function.js";
import type { Sourced } from "../parts/sourced.js";

/** `sae`: traditional trailer colours; `rv`: the motorhome industry's; `iso`: the European standards'. */
export type ColourConvention = "sae" | "rv" | "iso";

/**
 * Where a contact sits, seen at the mating face of the vehicle's socket; x to the right, y up, within the unit circle.
 * `confirmed: false` means that no source was read for this place; `words` then says so.
 */
export interface FacePlace {
  readonly x: number;
  readonly y: number;
  /** Position on a clock face where sources give it so. */
  readonly clock?: number;
  readonly confirmed: boolean;
  readonly words: string;
}

export interface ConnectorPin extends Sourced {
  /** The contact's name in its standard. */
  readonly pin: string;
  readonly function: CircuitFunction;
  /** What the standard or the trade calls the circuit. */
  readonly use: string;
  readonly colours: Readonly<Partial<Record<ColourConvention, string>>>;
  readonly place: FacePlace;
  /** Conductor that the standard or the trade asks for. */
  readonly conductor?: { readonly system: "awg" | "mm2"; readonly size: number } & Sourced;
  /** Largest current of the contact or circuit, where a source gives it. */
  readonly maxAmps?: { readonly amps: number } & Sourced;
}

export interface Connector {
  readonly id: string;
  readonly name: string;
  readonly conventions: readonly ColourConvention[];
  readonly pins: readonly ConnectorPin[];
}

export type FaceView = { readonly half: "vehicle-socket" | "trailer-plug"; readonly side: "mating" | "wiring" };

/**
 * The place of a contact in one of the four views. Socket and plug face each other, so the plug's mating face is the
 * socket's in a mirror (clock position 12 − c), and either half seen from its wiring side is mirrored once more.
 */
export function placeSeen(place: FacePlace, view: FaceView): FacePlace {
  const mirrored = (view.half === "trailer-plug") !== (view.side === "wiring");
  if (!mirrored) return place;
  const { clock, ...rest } = place;
  return { ...rest, x: 0 - place.x, ...(clock === undefined ? {} : { clock: (12 - clock) % 12 || 12 }) };
}

/** A place on a ring at a clock position. */
export function atClock(clock: number, radius: number, confirmed: boolean, words: string): FacePlace {
  const angle = (clock / 12) * 2 * Math.PI;
  const round = (value: number): number => Math.round(value * 1000) / 1000 + 0;
  return { x: round(radius * Math.sin(angle)), y: round(radius * Math.cos(angle)), clock, confirmed, words };
}
