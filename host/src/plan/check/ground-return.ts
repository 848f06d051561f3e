import { wireOf } from "../wire-part.js";
import type { InstallContext } from "./install-context.js";
import { figure, practice, type Remark } from "./remark.js";
import { wireName } from "./wire-current.js";

/** The ground conductor against all that returns through it. (Its current against its rating is `wire-current`'s.) */
export function groundReturn(context: InstallContext): Remark[] {
  const { plan, library } = context;
  const where = `wire:${plan.ground.pin}`;
  const ground = wireOf(plan.ground.wire, library);
  const trunks = plan.circuits.map((circuit) => wireOf(circuit.wire, library).squareMm);
  const thickest = Math.max(...trunks);
  const sum = trunks.reduce((total, squareMm) => total + squareMm, 0);
  const amps = context.amps(where);
  const { wire } = plan.ground;
  const size = wire.mm2 === undefined ? `${wireName(wire)}, ${figure(ground.squareMm)} mm²` : wireName(wire);
  if (ground.squareMm < 0.95 * thickest) {
    const text = `The ground wire (${size}) is thinner than the thickest circuit it returns (${figure(thickest)} mm²); with everything lit it carries ${figure(amps)} A.`;
    return [
      {
        code: "ground-thin",
        severity: "warning",
        text,
        value: ground.squareMm,
        limit: thickest,
        unit: "mm²",
        source: practice,
        where,
      },
    ];
  }
  if (ground.squareMm < 0.95 * sum) {
    const text = `The ground wire (${size}) is thinner than the sum of the circuits it returns (${figure(sum)} mm²); with everything lit it carries ${figure(amps)} A of the ${ground.carries.amps} A it is good for.`;
    return [
      {
        code: "ground-thinner-than-sum",
        severity: "note",
        text,
        value: ground.squareMm,
        limit: sum,
        unit: "mm²",
        source: practice,
        where,
      },
    ];
  }
  return [];
}
