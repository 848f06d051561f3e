import type { CircuitEvidence, WalkEvidence } from "../circuit-evidence.js";
import type { CircuitVerdict } from "../findings.js";

/** One kind of verdict from direct evidence: the reason in words when it applies, else undefined. */
export interface VerdictRule {
  readonly verdict: CircuitVerdict;
  readonly reasonFor: (circuit: CircuitEvidence, walk: WalkEvidence) => string | undefined;
}
