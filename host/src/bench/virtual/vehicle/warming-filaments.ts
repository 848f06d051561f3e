import { type FilamentHeating, filamentHeating } from "../../../circuit/filament-heating.js";
import type { Part } from "../../../circuit/network.js";
import type { PreparedNetwork } from "../../../circuit/prepared-network.js";

/** Share of its temperature by which a filament may change in one step. */
const STEP_SHARE = 0.04;
const SHORTEST_STEP_SECONDS = 20e-6;
/** What lies in between is read off a straight line: a tenth of the shortest time constant that a lamp ends with. */
const LONGEST_STEP_SECONDS = 0.01;

interface Filament {
  readonly id: string;
  readonly a: string;
  readonly b: string;
  readonly heating: FilamentHeating;
}

/** The filaments of a network with their temperatures, kelvin: all that a vehicle remembers from one moment to the next. */
export class WarmingFilaments {
  readonly #filaments: readonly Filament[];
  /** Temperatures at the start and at the end of the present step. */
  readonly #now: Float64Array;
  readonly #next: Float64Array;

  constructor(parts: readonly Part[]) {
    this.#filaments = parts.flatMap((part) =>
      part.kind === "filament"
        ? [{ id: part.id, a: part.a, b: part.b, heating: filamentHeating(part.model, part.celsius) }]
        : [],
    );
    this.#now = Float64Array.from(this.#filaments, ({ heating }) => heating.ambientKelvin);
    this.#next = Float64Array.from(this.#now);
  }

  /** Holds every filament of the network at the resistance of its temperature: at the start of the step, or at its end. */
  holdIn(network: PreparedNetwork, end: "start" | "end"): void {
    const kelvins = end === "start" ? this.#now : this.#next;
    for (const [index, { id, heating }] of this.#filaments.entries()) {
      network.holdFilament(id, heating.ohmsAt(kelvins[index] ?? heating.ambientKelvin));
    }
  }

  /**
   * Works out the temperatures one step ahead, from the voltages that the network has just been solved for with `holdIn(…, "start")`.
   * Returns the length of the step, seconds: short while something changes fast.
   */
  step(network: PreparedNetwork): number {
    let seconds = LONGEST_STEP_SECONDS;
    for (const [index, filament] of this.#filaments.entries()) {
      const kelvin = this.#now[index] ?? filament.heating.ambientKelvin;
      const rate = Math.abs(this.#kelvinPerSecond(filament, kelvin, network));
      if (rate * seconds > STEP_SHARE * kelvin) seconds = (STEP_SHARE * kelvin) / rate;
    }
    seconds = Math.max(seconds, SHORTEST_STEP_SECONDS);
    for (const [index, { a, b, heating }] of this.#filaments.entries()) {
      const volts = network.voltsAt(a) - network.voltsAt(b);
      this.#next[index] = heating.step(this.#now[index] ?? heating.ambientKelvin, volts, seconds);
    }
    return seconds;
  }

  /** Moves the start of the next step into this one: 0 for its start, 1 for its end. */
  moveTo(share: number): void {
    for (let index = 0; index < this.#now.length; index += 1) {
      const from = this.#now[index] ?? 0;
      this.#now[index] = from + share * ((this.#next[index] ?? from) - from);
    }
  }

  #kelvinPerSecond({ a, b, heating }: Filament, kelvin: number, network: PreparedNetwork): number {
    const volts = network.voltsAt(a) - network.voltsAt(b);
    return (volts ** 2 / heating.ohmsAt(kelvin) - heating.lossWatts(kelvin)) / heating.joulesPerKelvinAt(kelvin);
  }
}
