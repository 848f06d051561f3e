import type { Refusal } from "@pinwalk/firmware-protocol/bench-line.js";
import type { RequestName, Reset } from "@pinwalk/firmware-protocol/generated/protocol.js";

/** Everything that can go wrong between host and bench: a literal code and what is needed to explain it. */
export type BenchProblem =
  /** The device is not there, or this user may not open it. */
  | { readonly code: "cannot-open"; readonly path: string; readonly detail: string }
  | { readonly code: "port-busy"; readonly path: string }
  /** Something is there, but it does not answer as a bench does. `heardBytes`: how much it said at all. */
  | { readonly code: "not-a-bench"; readonly path: string; readonly heardBytes: number }
  | { readonly code: "other-protocol"; readonly theirs: number; readonly ours: number }
  /** A bench, but not the one that was lost. Serial numbers. */
  | { readonly code: "other-bench"; readonly path: string; readonly wanted: string; readonly found: string }
  /** Cable pulled, device gone, emulator ended. */
  | { readonly code: "port-lost"; readonly detail: string }
  /** The host itself has closed the port. */
  | { readonly code: "port-closed" }
  /** The port is there, the bench behind it is silent. Milliseconds of the port's clock. */
  | { readonly code: "no-answer"; readonly request: RequestName; readonly attempts: number; readonly waitedMs: number }
  | { readonly code: "refused"; readonly request: RequestName; readonly refusal: Refusal }
  /** The bench could not read a line that may have been this request, and has turned everything off. */
  | { readonly code: "garbled"; readonly request: RequestName; readonly why: string }
  /** The bench has reset by itself while something was going on. */
  | { readonly code: "bench-reset"; readonly reset: Reset }
  /** Overtaken by `off` before it was sent. */
  | { readonly code: "overtaken"; readonly request: RequestName }
  | { readonly code: "queue-full"; readonly request: RequestName; readonly most: number }
  /** A drive did not end when its time was up and some more had passed. */
  | { readonly code: "no-end"; readonly measurement: number; readonly waitedMs: number }
  /** A reply spoke of another measurement than the one asked for. */
  | { readonly code: "wrong-measurement"; readonly asked: number; readonly answered: number }
  /** The bench has other channel roles or limits in force than those asked for, even after a restart. */
  | {
      readonly code: "not-taken";
      readonly what: "roles" | "limits" | "far" | "constants";
      readonly asked: string;
      readonly inForce: string;
    };

export type BenchProblemCode = BenchProblem["code"];
