import { bridged } from "./bridged.js";
import { highCurrent } from "./high-current.js";
import { lowCurrent } from "./low-current.js";
import { noGround } from "./no-ground.js";
import { notIsolated } from "./not-isolated.js";
import { open } from "./open.js";
import { shortToGround } from "./short-to-ground.js";
import { shortToPower } from "./short-to-power.js";
import { swapped } from "./swapped.js";
import type { VerdictRule } from "./verdict-rule.js";

/** The verdicts of direct evidence, the more telling first: the first that finds a reason names the circuit. */
export const verdictTable: readonly VerdictRule[] = [
  shortToPower,
  noGround,
  swapped,
  bridged,
  shortToGround,
  open,
  notIsolated,
  lowCurrent,
  highCurrent,
];
