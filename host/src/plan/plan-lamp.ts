import type { LampLoad } from "./lamp-load.js";

/** A lamp of an install plan in its network. */
export interface PlanLamp {
  /** `left-rear.bright`. */
  readonly id: string;
  readonly load: LampLoad;
  readonly feedNode: string;
  readonly returnNode: string;
  readonly partIds: readonly string[];
  /** Where the vehicle's own switch comes in. */
  readonly factoryNode: string;
  /** The functions whose tow circuits feed it. */
  readonly functions: readonly string[];
}
