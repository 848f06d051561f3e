import { defaultLibrary, type PartsLibrary } from "../parts/parts-library.js";
import type { Plan } from "../plan-schema.js";
import { cableRules } from "./cable-rules.js";
import { colours } from "./colours.js";
import { coverage } from "./coverage.js";
import { diodeRating } from "./diode-rating.js";
import { fuse } from "./fuse.js";
import { groundReturn } from "./ground-return.js";
import { type InstallContext, installContext } from "./install-context.js";
import { isolation } from "./isolation.js";
import { lampVoltage } from "./lamp-voltage.js";
import type { Remark, Severity } from "./remark.js";
import { stopTurn } from "./stop-turn.js";
import { towLoad } from "./tow-load.js";
import { voltageDrop } from "./voltage-drop.js";
import { wireCurrent } from "./wire-current.js";

export interface CheckOptions {
  /** Supply at the connector's pins. Default 13.5 V for each nominal 12 V: signal lamps are rated there, the engine runs. */
  readonly supplyVolts?: number;
  readonly ambientC?: number;
  readonly library?: PartsLibrary;
}

/** One kind of remark, one file, one line. */
const installRules: readonly ((context: InstallContext) => Remark[])[] = [
  lampVoltage,
  isolation,
  stopTurn,
  coverage,
  wireCurrent,
  fuse,
  diodeRating,
  groundReturn,
  towLoad,
  voltageDrop,
  ({ plan, connector }) =>
    colours(connector, plan.colourConvention, [
      ...plan.circuits.map(({ pin, wire }) => ({ pin, colour: wire.colour })),
      { pin: plan.ground.pin, colour: plan.ground.wire.colour },
    ]),
];

const rank: Readonly<Record<Severity, number>> = { problem: 0, warning: 1, note: 2 };

/** What is to be said about a plan before anything is cut; the worst first, otherwise in the order of the rules. */
export function checkPlan(plan: Plan, options: CheckOptions = {}): Remark[] {
  const library = options.library ?? defaultLibrary;
  const supplyVolts = options.supplyVolts ?? (13.5 * plan.nominalVolts) / 12;
  const remarks =
    plan.kind === "cable"
      ? cableRules(plan, library)
      : runRules(installContext(plan, library, supplyVolts, options.ambientC ?? 20));
  return remarks.sort((a, b) => rank[a.severity] - rank[b.severity]);
}

function runRules(context: InstallContext): Remark[] {
  return installRules.flatMap((rule) => rule(context));
}
