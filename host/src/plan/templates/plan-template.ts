import type { Plan } from "../plan-schema.js";

/** A way to begin a plan: it makes a whole, solvable plan for each connector that it offers. */
export interface PlanTemplate {
  readonly id: string;
  readonly kind: Plan["kind"];
  readonly title: string;
  /** When to take it, for people. */
  readonly detail: string;
  /** Connector ids, the usual one first; of a cable those of the near end. */
  readonly connectors: readonly string[];
  /** Connector ids of a cable's far end; empty for an install plan. */
  readonly farConnectors: readonly string[];
  make(connectorId: string, farConnectorId?: string): Plan;
}
