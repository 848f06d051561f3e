import type { Fault } from "../../plan/fault.js";
import type { BenchPort } from "../port.js";
import type { OutputState } from "./output-log.js";
import type { BenchView, LooseSpell } from "./pace/worker-messages.js";
import type { BenchFixture } from "./vehicle/bench-fixture.js";
import type { Vehicle } from "./vehicle/checked-vehicle.js";
import type { PlayedFunction } from "./vehicle/played-signal.js";
import type { Outlet } from "./vehicle/simulated-outlet.js";

/**
 * The reference bench, emulated in a worker thread, with a simulated vehicle or cable on its connector. A port like any other; the
 * rest is what a person or the world could do to a real bench. A change takes effect at the present emulated moment.
 */
export interface VirtualBench extends BenchPort {
  readonly path: "virtual";
  /** Plugs something else in, whatever the bench is doing. Rejects with `bad-plan` or `bad-fault`. */
  setVehicle(vehicle: Vehicle): Promise<void>;
  /** Plugs in what a person tests or calibrates a bench with, instead of a vehicle. */
  plugIn(fixture: BenchFixture): Promise<void>;
  /** Switches the vehicle's own functions on (`tail`, `stop`, …) and all others off. */
  setOwnFunctions(functions: readonly string[]): Promise<void>;
  /**
   * Moves a loose contact: for each spell, counted from now, the vehicle or cable has this fault more. Exact in emulated time;
   * replaces what was still to come. Rejects with `bad-fault`.
   */
  moveLooseContact(fault: Fault, spells: readonly LooseSpell[]): Promise<void>;
  /** The same, each as its waveform wants it: a flasher, a dimmed lamp, a pedal. Rejects with `bad-setting`. */
  playOwn(functions: readonly PlayedFunction[]): Promise<void>;
  /**
   * Plugs a tow vehicle's outlet in place of the vehicle, which plays from now on; its pins are those of the vehicle's plan.
   * Undefined: the vehicle again. Rejects with `bad-setting`.
   */
  plugOutlet(outlet: Outlet | undefined): Promise<void>;
  /** Presses (true) or releases the start button. */
  pressStart(pressed: boolean): Promise<void>;
  /** Presses (true) or releases the stop button, which breaks the relay coil's line. */
  pressStop(pressed: boolean): Promise<void>;
  /** Changes the supply before any load. */
  setSupply(volts: number): Promise<void>;
  /** Drive channels whose switch has failed conducting, bit n for channel n. */
  setStuckChannels(mask: number): Promise<void>;
  /** Takes the power away and gives it back. */
  powerCycle(): Promise<void>;
  /** Outputs and lamp voltages at the present emulated moment. */
  look(): Promise<BenchView>;
  /** Contents of the EEPROM, to open another bench with. */
  eeprom(): Promise<Uint8Array>;
  /** Every change of the outputs, with its emulated time. One listener at a time. */
  onOutputs(listener: (state: OutputState) => void): void;
}
