/** The voltages of one operating point, kept after the network has moved on. */
export interface OperatingPoint {
  readonly converged: boolean;
  /** Volts by node; undefined for a node that this network does not have. */
  voltsOf(node: string): number | undefined;
  /** Amps through a part without resistance, which its voltage does not tell; undefined for all others. */
  tieAmpsOf(partId: string): number | undefined;
}
