import { defaultFaultOhms, type Fault } from "./fault.js";
import { leastOhms } from "./healthy-ohms.js";

/** Resistance of "no connection there", ohms: a dry insulation path, so that no node ever floats. */
export const openOhms = 1e9;
/** Resistance of a diode that conducts both ways, ohms. */
export const shortedDiodeOhms = 0.01;
/** A foreign supply: a rested lead-acid battery, volts per nominal 12 V (from memory: 12.6 V). */
export const foreignVoltsPerNominal = 12.6 / 12;

/** The faults of one network, asked place by place while it is built. */
export class FaultSet {
  constructor(private readonly faults: readonly Fault[]) {}

  /** Extra ohms in series at a place: a bad contact, or next to no connection. */
  seriesOhms(place: string): number {
    let ohms = 0;
    for (const fault of this.faults) {
      if (fault.at !== place) continue;
      if (fault.kind === "open") ohms += openOhms;
      if (fault.kind === "high-resistance") ohms += fault.ohms ?? defaultFaultOhms["high-resistance"];
    }
    return ohms;
  }

  has(kind: Fault["kind"], place: string): boolean {
    return this.faults.some((fault) => fault.kind === kind && fault.at === place);
  }

  /** Ohms of a fault of a kind at a place, or undefined where it is not. */
  ohmsOf(kind: keyof typeof defaultFaultOhms, place: string): number | undefined {
    const fault = this.faults.find((one) => one.kind === kind && one.at === place);
    return fault === undefined ? undefined : Math.max(fault.ohms ?? defaultFaultOhms[kind], leastOhms);
  }

  insteadAt(place: string): string | undefined {
    return this.faults.find((fault) => fault.kind === "wrong-lamp" && fault.at === place)?.instead;
  }

  /** Bridges as pairs of places. */
  bridges(): { first: string; second: string; ohms: number; at: string }[] {
    return this.faults.flatMap((fault) => {
      const [first, second] = fault.at.split("+");
      if (fault.kind !== "bridge" || first === undefined || second === undefined) return [];
      return [{ first, second, ohms: Math.max(fault.ohms ?? defaultFaultOhms.bridge, leastOhms), at: fault.at }];
    });
  }

  /** Whether something touches the middle of a wire, so that the wire is cut in two halves there. */
  touchesWire(place: string): boolean {
    return this.faults.some(
      (fault) =>
        (fault.kind === "short-to-ground" && fault.at === place) ||
        (fault.kind === "bridge" && fault.at.split("+").includes(place)),
    );
  }

  /** Whose wire stands on a pin's terminal: the pin's own unless swapped. `side` is `pin` or `far`. */
  wireOn(side: "pin" | "far", pin: string): string {
    let wire = pin;
    for (const fault of this.faults) {
      if (fault.kind !== "swap") continue;
      const [first, second] = fault.at.split("+");
      if (first === `${side}:${wire}` && second !== undefined) wire = second.slice(side.length + 1);
      else if (second === `${side}:${wire}` && first !== undefined) wire = first.slice(side.length + 1);
    }
    return wire;
  }
}
