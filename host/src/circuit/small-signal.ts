import type { Branch } from "./branch.js";
import type { SparseLdl } from "./sparse-ldl.js";

/**
 * How a network answers to small changes around its last operating point: one solve per node that is watched gives that
 * node's sensitivity to every part at once (the matrix is symmetric, so the adjoint network is the network itself).
 * Valid until the network is run again.
 */
export class SmallSignal {
  constructor(
    private readonly ldl: SparseLdl,
    private readonly branches: readonly Branch[],
    private readonly firstUnknown: Int32Array,
    private readonly secondUnknown: Int32Array,
    private readonly unknownOf: (node: string) => number,
  ) {}

  /** Volts that every unknown rises by for one amp pushed into `node`; all zero for the reference. Written into `into` where given. */
  influence(node: string, into?: Float64Array): Float64Array {
    const right = into?.length === this.ldl.size ? into.fill(0) : new Float64Array(this.ldl.size);
    const at = this.unknownOf(node);
    if (at < 0) return right;
    right[at] = 1;
    this.ldl.solve(right);
    return right;
  }

  /**
   * Volts that the watched node rises by for each amp that a part carries more at the same voltage, given the watched
   * node's influence. Example: a source behind 2 Ω into 2 Ω: one amp more through the load lowers the joint by 1 V.
   */
  voltsPerAmpOf(part: number, influence: Float64Array): number {
    const a = this.firstUnknown[part] ?? -1;
    const b = this.secondUnknown[part] ?? -1;
    return (b < 0 ? 0 : (influence[b] ?? 0)) - (a < 0 ? 0 : (influence[a] ?? 0));
  }

  /** Slope of a part's current over its voltage at the operating point, siemens. */
  siemensOf(part: number): number {
    return this.branches[part]?.siemens ?? 0;
  }
}
