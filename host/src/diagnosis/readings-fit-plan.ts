import { connectorById, connectorOf } from "../plan/connectors.js";
import type { Plan } from "../plan/plan-schema.js";
import type { Readings } from "../readings/readings.js";
import { impossibleReadings } from "./impossible-readings.js";

/** Why readings cannot be judged against a plan, as data; `message` is ready for people. */
export interface ReadingsMisfit {
  readonly code:
    | "not-on-connector"
    | "not-on-plan"
    | "nothing-in-common"
    | "far-end-of-install"
    | "install-of-cable"
    | "unknown-lamp"
    | "impossible";
  /** Section of the readings that it is about. */
  readonly path: string;
  readonly names: readonly string[];
  readonly message: string;
}

/**
 * Whether readings can be of this plan at all: their pins are the connector's, what was driven is on the plan, and at
 * least one circuit was measured, if anything was. Loads that differ are a finding, not a misfit.
 */
export function readingsFitPlan(
  plan: Plan,
  readings: Readings,
): { ok: true } | { ok: false; problems: ReadingsMisfit[] } {
  const problems = [
    ...notOnConnector(plan, readings),
    ...notOnPlan(plan, readings),
    ...farEnds(plan, readings),
    ...unknownLamps(plan, readings),
    ...ofInstallation(plan, readings),
    ...impossibleValues(plan, readings),
  ];
  if (problems.length === 0) problems.push(...nothingInCommon(plan, readings));
  return problems.length === 0 ? { ok: true } : { ok: false, problems };
}

function notOnConnector(plan: Plan, readings: Readings): ReadingsMisfit[] {
  const connector = connectorOf(plan);
  const known = new Set(connector.pins.map(({ pin }) => pin));
  const names = unknownOf(nearPins(readings), known);
  if (names.length === 0) return [];
  return [
    {
      code: "not-on-connector",
      path: "",
      names,
      message: `The readings name ${list(names)}, which the connector ${connector.id} of the plan does not have: they are of another plan.`,
    },
  ];
}

function notOnPlan(plan: Plan, readings: Readings): ReadingsMisfit[] {
  const known = new Set(drivenPins(plan));
  // A walk feeds low current into pins without a circuit too, to find stray wires: that does not make it another plan's.
  const driven = [...(readings.drives ?? []), ...(readings.seen ?? [])].map(({ pin }) => pin);
  const names = unknownOf(driven, known);
  if (names.length === 0) return [];
  return [
    {
      code: "not-on-plan",
      path: "drives",
      names,
      message: `The readings drove ${list(names)}, for which the plan has no circuit: they are of another plan.`,
    },
  ];
}

function farEnds(plan: Plan, readings: Readings): ReadingsMisfit[] {
  const far = [...(readings.drives ?? []), ...(readings.lowCurrent ?? [])].flatMap(({ farVolts }) =>
    Object.keys(farVolts ?? {}),
  );
  if (far.length === 0) return [];
  if (plan.kind === "install") {
    const message = "The readings have a far end, but the plan is of an installation: they are of a cable.";
    return [{ code: "far-end-of-install", path: "farVolts", names: [...new Set(far)], message }];
  }
  const connector = typeof plan.far === "string" ? connectorById(plan.far) : plan.far;
  const names = unknownOf(far, new Set((connector?.pins ?? []).map(({ pin }) => pin)));
  if (names.length === 0) return [];
  const message = `The readings name far pins ${list(names)}, which the far connector of the plan does not have: they are of another plan.`;
  return [{ code: "not-on-connector", path: "farVolts", names, message }];
}

/** A cable has no lamps and no vehicle, and whoever walks it reads its far end. */
function ofInstallation(plan: Plan, readings: Readings): ReadingsMisfit[] {
  if (plan.kind !== "cable") return [];
  const walked = [...(readings.drives ?? []), ...(readings.lowCurrent ?? [])];
  const sections = [
    ...((readings.backFeed?.length ?? 0) > 0 ? ["backFeed"] : []),
    ...((readings.seen?.length ?? 0) > 0 ? ["seen"] : []),
    ...(walked.length > 0 && walked.every(({ farVolts }) => farVolts === undefined) ? ["farVolts"] : []),
  ];
  const [path] = sections;
  if (path === undefined) return [];
  const why = path === "farVolts" ? "have no far end" : "tell of a vehicle's lamps or switches";
  const message = `The readings ${why}, but the plan is of a cable: they are of an installation.`;
  return [{ code: "install-of-cable", path, names: sections, message }];
}

function unknownLamps(plan: Plan, readings: Readings): ReadingsMisfit[] {
  const sockets = new Set(plan.kind === "install" ? plan.sockets.map(({ id }) => id) : []);
  const lit = (readings.seen ?? []).flatMap((entry) => entry.lit);
  const names = [...new Set(lit.filter((lamp) => !sockets.has(lamp.split(".")[0] ?? "")))];
  if (names.length === 0) return [];
  return [
    {
      code: "unknown-lamp",
      path: "seen",
      names,
      message: `The readings saw ${list(names)} lit, which the plan does not have.`,
    },
  ];
}

function impossibleValues(plan: Plan, readings: Readings): ReadingsMisfit[] {
  const found = impossibleReadings(readings, plan.nominalVolts);
  const [first] = found;
  if (first === undefined) return [];
  const names = found.map(({ path }) => path);
  const message = `The readings cannot be true: ${found.map(({ words }) => words).join("; ")}. Walk again.`;
  return [{ code: "impossible", path: first.path, names, message }];
}

function nothingInCommon(plan: Plan, readings: Readings): ReadingsMisfit[] {
  const circuits = drivenPins(plan);
  const measured = new Set(nearPins(readings));
  // Readings that measured nothing yet are nobody else's: every circuit is then not judged, for want of them.
  if (measured.size === 0 || circuits.some((pin) => measured.has(pin))) return [];
  const message = `The readings measured none of the plan's circuits (${list(circuits)}).`;
  return [{ code: "nothing-in-common", path: "", names: circuits, message }];
}

/** Near pins that a bench drives for this plan, in the plan's order. */
export function drivenPins(plan: Plan): string[] {
  if (plan.kind === "install") {
    const never = new Set(plan.senseOnly ?? []);
    return plan.circuits.map(({ pin }) => pin).filter((pin) => !never.has(pin));
  }
  const ground = new Set(
    connectorOf(plan)
      .pins.filter((pin) => pin.function === "ground")
      .map(({ pin }) => pin),
  );
  return plan.conductors.map(({ near }) => near).filter((pin) => !ground.has(pin));
}

function nearPins(readings: Readings): string[] {
  const tables = [
    readings.rest ?? {},
    ...(readings.lowCurrent ?? []).map(({ volts }) => volts),
    ...(readings.drives ?? []).map(({ volts }) => volts),
    ...(readings.backFeed ?? []).map(({ volts }) => volts),
  ];
  const fed = [...(readings.lowCurrent ?? []), ...(readings.drives ?? []), ...(readings.seen ?? [])].map(
    ({ pin }) => pin,
  );
  return [...fed, ...tables.flatMap((table) => Object.keys(table))];
}

function unknownOf(names: readonly string[], known: ReadonlySet<string>): string[] {
  return [...new Set(names.filter((name) => !known.has(name)))];
}

function list(names: readonly string[]): string {
  return names.join(", ");
}
