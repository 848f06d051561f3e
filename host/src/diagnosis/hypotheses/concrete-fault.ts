import type { Part } from "../../circuit/network.js";
import type { Fault } from "../../plan/fault.js";

/** A fault with its size: what the search puts into the network. */
export interface ConcreteFault {
  readonly fault: Fault;
  /** A part that stands in for the plan's own, where the fault is not one that the plan's network can size (a lamp of another kind). */
  readonly replacement?: Part;
}
