import { amberTurn } from "./amber-turn.js";
import { combinedStopTurn } from "./combined-stop-turn.js";
import { lampBar, ledLamps } from "./led-lamps.js";
import type { PlanTemplate } from "./plan-template.js";
import { umbilical } from "./umbilical.js";

/** Every template, the most usual first. */
export const planTemplates: readonly PlanTemplate[] = [combinedStopTurn, amberTurn, ledLamps, lampBar, umbilical];
