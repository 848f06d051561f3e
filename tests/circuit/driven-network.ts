import type { Network } from "@pinwalk/host/circuit/network.js";
import { type BenchSource, benchParts } from "@pinwalk/host/plan/attach-bench.js";
import type { PlanNetwork } from "@pinwalk/host/plan/plan-network.js";

/** A plan's network with the tester driving one pin, with nothing in it that is switched off. */
export function drivenNetwork(built: PlanNetwork, pin: string, source: BenchSource): Network {
  const parts = benchParts(built, source).flatMap((part) => {
    if (part.kind !== "source" || !/^(bench|vehicle):/.test(part.id)) return [part];
    return part.id === `bench:${pin}` ? [{ ...part, volts: source.volts, ohms: source.ohms }] : [];
  });
  return { reference: built.reference, parts };
}
