/** The voltages of one operating point, kept after the network has moved on. */
export class OperatingPoint {
  constructor(
    readonly converged: boolean,
    /** Places of the nodes in `volts`. */
    readonly nodeIndex: ReadonlyMap<string, number>,
    readonly volts: Float64Array,
    private readonly tieAmps: ReadonlyMap<string, number>,
  ) {}

  /** Volts by node; undefined for a node that this network does not have. */
  voltsOf(node: string): number | undefined {
    const index = this.nodeIndex.get(node);
    return index === undefined ? undefined : this.volts[index];
  }

  /** Amps through a part without resistance, which its voltage does not tell; undefined for all others. */
  tieAmpsOf(partId: string): number | undefined {
    return this.tieAmps.get(partId);
  }
}
