import type { Network, NetworkProblem } from "./network.js";
import { prepareNetwork, type RunOptions } from "./prepared-network.js";

/** The operating point of a network, or why there is none. Volts by node, amps by part id (first node to second). */
export type Solution =
  | {
      readonly kind: "solved";
      readonly volts: ReadonlyMap<string, number>;
      readonly amps: ReadonlyMap<string, number>;
      readonly iterations: number;
      readonly residualAmps: number;
    }
  | {
      readonly kind: "not-converged";
      readonly iterations: number;
      readonly residualAmps: number;
      /** Where the current law is broken most. */
      readonly worstNode: string;
    }
  | { readonly kind: "invalid"; readonly problems: readonly NetworkProblem[] };

/**
 * Solves a network once. Pure: the same network gives the same answer to the last bit.
 * Example: 10 V over 6 Ω and 4 Ω in series → 4 V at the joint, 1 A.
 */
export function solve(network: Network, options: Omit<RunOptions, "warm"> = {}): Solution {
  const made = prepareNetwork(network);
  if (made.kind === "invalid") return made;
  const { prepared } = made;
  const result = prepared.run(options);
  if (result.kind === "not-converged") return result;
  return {
    kind: "solved",
    volts: new Map(prepared.nodes.map((node, index) => [node, prepared.nodeVolts[index] ?? 0])),
    amps: new Map(prepared.partIds.map((id, index) => [id, prepared.ampsOfPart(index)])),
    iterations: result.iterations,
    residualAmps: result.residualAmps,
  };
}
