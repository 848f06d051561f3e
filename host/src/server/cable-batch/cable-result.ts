import type { Findings } from "../../diagnosis/findings.js";
import { connectorOf, farConnectorOf } from "../../plan/connectors.js";
import type { CablePlan } from "../../plan/plan-schema.js";
import type { DriveReading, Readings } from "../../readings/readings.js";
import { conductorOhms } from "../../records/compare/circuit-points.js";
import { measuredGroundOhms } from "../../records/compare/ground-ohms.js";
import type { MeasuredValue } from "../../records/compare/measured-value.js";
import { pinUse } from "../place-words.js";
import type { CableCell, CableConductor, CableResult } from "./cable-contract.js";
import { conductorRating } from "./conductor-rating.js";

/** Above the far ground a far pin must stand by this share of the driven pin's volts, and by these volts, to count as reached. */
const leastShare = 0.03;
const leastVolts = 0.25;

/** What a walk of a cable says of each conductor: where it ends, its resistance, and the drop at its rated current. */
export function cableResult(plan: CablePlan, readings: Readings, findings: Findings, walkNumber: number): CableResult {
  const groundNear = connectorOf(plan).pins.find((pin) => pin.function === "ground")?.pin ?? "";
  const groundFar =
    plan.conductors.find(({ near }) => near === groundNear)?.far ??
    farConnectorOf(plan)?.pins.find((pin) => pin.function === "ground")?.pin ??
    "";
  const groundOhms = measuredGroundOhms({ record: { plan, readings, findings } });
  // In the plan's order, so that a cable in order shows as a diagonal.
  const planned = plan.conductors.map(({ far }) => far);
  const others = (farConnectorOf(plan)?.pins ?? []).map(({ pin }) => pin).filter((pin) => !planned.includes(pin));
  const farPins = [...planned, ...others].filter((pin) => pin !== groundFar);
  const conductors = plan.conductors
    .filter(({ near }) => near !== groundNear)
    .map((conductor): CableConductor => {
      const { near, far, wire } = conductor;
      const drive = readings.drives?.find(({ pin }) => pin === near);
      const cells = farPins.map((pin) => cellOf(pin, pin === far, drive, groundFar, plan.farLoadOhms));
      const finding = findings.circuits.find(({ pin }) => pin === near);
      const endsAt = cells.filter(({ kind }) => kind === "through" || kind === "stray").map((cell) => cell.far);
      // A current that splits says nothing of one way alone.
      const ohms = endsAt.length === 1 && endsAt[0] === far ? conductorOhms({ plan, readings }, near) : null;
      const rating = conductorRating(plan, conductor);
      return {
        near,
        far,
        use: pinUse(plan, near) ?? near,
        colour: wire.colour ?? null,
        endsAt,
        verdict: finding?.verdict ?? "not-judged",
        reason: finding?.reason ?? "",
        cells,
        ohms,
        rating,
        drop: ohms && rating ? dropOf(ohms, groundOhms, rating.amps, plan.nominalVolts) : null,
      };
    });
  return {
    walkNumber,
    overall: findings.overall,
    farPins,
    conductors,
    ground: { near: groundNear, far: groundFar, ohms: groundOhms },
    wrong: findings.circuits
      .filter(({ verdict }) => verdict !== "pass" && verdict !== "not-judged")
      .map(({ pin, verdict, reason }) => `${pin} ${verdict.replaceAll("-", " ")}: ${reason}`),
  };
}

function cellOf(
  far: string,
  planned: boolean,
  drive: DriveReading | undefined,
  groundFar: string,
  loadOhms: number,
): CableCell {
  const nearVolts = drive?.volts[drive.pin];
  const farVolts = drive?.farVolts?.[far];
  if (!drive || nearVolts === undefined || farVolts === undefined) return { far, kind: "unknown", ohms: null };
  const overLoad = farVolts - (drive.farVolts?.[groundFar] ?? 0);
  const reached = overLoad > Math.max(leastVolts, leastShare * nearVolts);
  if (!reached) return { far, kind: planned ? "missing" : "apart", ohms: null };
  // What this far pin's own load draws is what came along this way, whatever else the near pin feeds.
  return { far, kind: planned ? "through" : "stray", ohms: ((nearVolts - farVolts) * loadOhms) / overLoad };
}

function dropOf(
  ohms: MeasuredValue,
  groundOhms: MeasuredValue | null,
  amps: number,
  nominalVolts: number,
): CableConductor["drop"] {
  const volts = amps * (ohms.value + (groundOhms?.value ?? 0));
  const uncertainty = amps * Math.hypot(ohms.uncertainty, groundOhms?.uncertainty ?? 0);
  const figure = ({ value }: MeasuredValue) => value.toFixed(3);
  const formula =
    groundOhms === null
      ? `${amps} A × ${figure(ohms)} Ω, without the ground`
      : `${amps} A × (${figure(ohms)} + ${figure(groundOhms)}) Ω, there and back through the ground`;
  return { volts, uncertainty, percent: (100 * volts) / nominalVolts, formula };
}
