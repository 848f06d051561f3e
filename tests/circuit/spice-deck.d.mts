import type { Network } from "@pinwalk/host/circuit/network.js";

export interface SpiceDeck {
  readonly text: string;
  /** The simulator's name of each node. */
  readonly nodeNames: ReadonlyMap<string, string>;
  /** The simulator's name of the current of each part; empty without probes. */
  readonly currentNames: ReadonlyMap<string, string>;
}

export function spiceDeck(network: Network, celsius?: number, probes?: boolean): SpiceDeck;
