import { connectorOf, farConnectorOf } from "../../plan/connectors.js";
import { defaultLibrary } from "../../plan/parts/parts-library.js";
import type { CablePlan, Conductor } from "../../plan/plan-schema.js";
import { wireOf } from "../../plan/wire-part.js";
import type { CableConductor } from "./cable-contract.js";

/** The least of what its contacts and its wire carry for long, and which of them it is; null where no source says. */
export function conductorRating(plan: CablePlan, { near, far, wire }: Conductor): CableConductor["rating"] {
  const nearAmps = connectorOf(plan).pins.find(({ pin }) => pin === near)?.maxAmps?.amps;
  const farAmps = farConnectorOf(plan)?.pins.find(({ pin }) => pin === far)?.maxAmps?.amps;
  const limits = [
    { amps: wireOf(wire, defaultLibrary).carries.amps, from: "its wire" },
    ...(nearAmps === undefined ? [] : [{ amps: nearAmps, from: `near terminal ${near}` }]),
    ...(farAmps === undefined ? [] : [{ amps: farAmps, from: `far terminal ${far}` }]),
  ];
  return limits.reduce((least, one) => (one.amps < least.amps ? one : least));
}
