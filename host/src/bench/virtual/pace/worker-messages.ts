import type { Fault } from "../../../plan/fault.js";
import type { FrontEndErrors } from "../board/front-end-errors.js";
import type { ResetCause } from "../chip/atmega328p.js";
import type { OutputState } from "../output-log.js";
import type { BenchFixture } from "../vehicle/bench-fixture.js";
import type { CheckedVehicle } from "../vehicle/checked-vehicle.js";
import type { PlayedFunction } from "../vehicle/played-signal.js";
import type { Outlet } from "../vehicle/simulated-outlet.js";
import type { VirtualBenchErrorCode } from "../virtual-bench-error.js";

/** One time during which a contact is loose, milliseconds from the moment at which it is told. */
export interface LooseSpell {
  readonly afterMs: number;
  readonly lengthMs: number;
}

/** What the worker is started with. Everything in it has been checked by the host. */
export interface WorkerStart {
  readonly imageHex: string;
  readonly vehicle: CheckedVehicle | BenchFixture;
  readonly pace: "real" | "fast";
  readonly seed: number;
  readonly supplyVolts: number;
  readonly ambientC: number;
  readonly eeprom?: Uint8Array;
  readonly frontEndErrors?: FrontEndErrors;
}

/** Something that a person or the world does to the bench, at the moment of emulated time at which it is told. */
export type BenchChange =
  | { readonly what: "vehicle"; readonly vehicle: CheckedVehicle }
  | { readonly what: "fixture"; readonly fixture: BenchFixture }
  | { readonly what: "loose-contact"; readonly fault: Fault; readonly spells: readonly LooseSpell[] }
  | { readonly what: "own-functions"; readonly functions: readonly string[] }
  | { readonly what: "own-signals"; readonly functions: readonly PlayedFunction[] }
  /** Undefined: the vehicle again. */
  | { readonly what: "outlet"; readonly outlet: Outlet | undefined }
  | { readonly what: "start-button"; readonly pressed: boolean }
  | { readonly what: "stop-button"; readonly pressed: boolean }
  | { readonly what: "supply"; readonly volts: number }
  | { readonly what: "stuck-channels"; readonly mask: number }
  | { readonly what: "reset"; readonly cause: ResetCause };

export type ToWorker =
  /** Pace "fast": run to this moment or to the end of the next line from the bench, whichever is first, then report. */
  | { readonly kind: "go"; readonly untilMs: number; readonly bytes: Uint8Array }
  /** Pace "real": bytes for the bench. */
  | { readonly kind: "bytes"; readonly bytes: Uint8Array }
  | { readonly kind: "change"; readonly ticket: number; readonly change: BenchChange }
  | { readonly kind: "look"; readonly ticket: number };

export type FromWorker =
  | { readonly kind: "opened" }
  | { readonly kind: "failed"; readonly code: VirtualBenchErrorCode; readonly message: string }
  /** How far emulated time has come, with everything that the bench sent and switched meanwhile. */
  | {
      readonly kind: "advanced";
      readonly nowMs: number;
      readonly bytes: Uint8Array;
      readonly outputs: readonly OutputState[];
    }
  | { readonly kind: "done"; readonly ticket: number }
  | {
      readonly kind: "not-done";
      readonly ticket: number;
      readonly code: VirtualBenchErrorCode;
      readonly message: string;
    }
  | { readonly kind: "seen"; readonly ticket: number; readonly view: BenchView };

/** A look at the bench and at the vehicle's lamps. */
export interface BenchView {
  readonly nowMs: number;
  readonly outputs: OutputState;
  /** Volts across each lamp of the plan, by its place `socket.filament`; a lit lamp has most of its supply. */
  readonly lampVolts: Readonly<Record<string, number>>;
  /** Contents of the EEPROM. */
  readonly eeprom: Uint8Array;
  /** What a meter without fault shows at the supply's terminals and, where one is on, at the calibration plug. */
  readonly supplyVolts: number;
  readonly plugVolts?: number;
}
