/** What kind of reading a number is; each has its own noise. */
export type ObservationKind =
  | "rest"
  | "low"
  | "low-far"
  | "drive-amps"
  | "drive-volts"
  | "drive-far"
  | "peak"
  | "back-feed";

/** One measured number with the bench's own standard uncertainty (k = 1), without any scatter of parts. */
export interface Observation {
  readonly kind: ObservationKind;
  /** Pin that was fed, or the vehicle's functions that were on; empty at rest. */
  readonly fed: string;
  /** Pin on which it was read. */
  readonly pin: string;
  readonly value: number;
  readonly sigma: number;
}

/** The name of a reading in evidence texts: `drive of LT, amps`. */
export function observationName({ kind, fed, pin }: Observation): string {
  switch (kind) {
    case "rest":
      return `${pin} at rest, volts`;
    case "low":
      return `${pin} in the low-current check of ${fed}, volts`;
    case "low-far":
      return `far ${pin} in the low-current check of ${fed}, volts`;
    case "drive-amps":
      return `drive of ${fed}, amps`;
    case "peak":
      return `inrush of ${fed}, amps`;
    case "drive-volts":
      return `${pin} while ${fed} is driven, volts`;
    case "drive-far":
      return `far ${pin} while ${fed} is driven, volts`;
    case "back-feed":
      return `${pin} while the vehicle's ${fed} is on, volts`;
  }
}
