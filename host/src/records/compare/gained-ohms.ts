import { expectedLoads } from "../../plan/expected.js";
import type { InstallPlan } from "../../plan/plan-schema.js";
import type { Readings } from "../../readings/readings.js";
import type { MeasuredValue } from "./measured-value.js";

/** Ohms added in the ground path for which the model is asked; between them straight lines. */
const gridOhms = [0, 0.1, 0.2, 0.4, 0.8, 1.6, 3.2, 6.4, 12.8];

/** How a circuit's current falls as its path gains ohms, as a share of the healthy current, at the points of the grid. */
export type CurrentFall = readonly number[];

/**
 * Asks the model of the plan how each pin's current falls when the path that all share gains resistance. In series it
 * does not matter where the ohms sit: for one driven pin the same fall holds for ohms in its own wire.
 * Undefined where the model cannot be asked (a plan of parts that this library does not have).
 */
export function currentFalls(
  plan: InstallPlan,
  { source, ambientC }: Readings,
): ReadonlyMap<string, CurrentFall> | undefined {
  const options = {
    sourceVolts: source.volts,
    sourceOhms: source.ohms,
    senseOhms: source.senseOhms,
    ambientC: ambientC ?? 20,
  };
  const bondOhms = plan.ground.bondOhms ?? 0;
  try {
    const steps = gridOhms.map((ohms) =>
      expectedLoads({ ...plan, ground: { ...plan.ground, bondOhms: bondOhms + ohms } }, options),
    );
    const healthy = steps[0] ?? [];
    return new Map(
      healthy.map(({ pin, amps }, index) => [
        pin,
        steps.map((step) => (step[index]?.amps ?? 0) / Math.max(amps, 1e-9)),
      ]),
    );
  } catch {
    return undefined;
  }
}

/**
 * Ohms that a circuit's path has gained if its current stands at `share` of what it was, the lamps being the same. A share above 1
 * gives a loss. Undefined where the current does not tell (a lamp that regulates its current).
 *
 * With a fall of `[1, 0.99, 0.98, …]`, a share of 0.985 ± 0.002 is 0.15 Ω ± 0.02 Ω.
 */
export function gainedOhms(fall: CurrentFall, share: MeasuredValue): MeasuredValue | undefined {
  let index = 1;
  while (index < fall.length - 1 && (fall[index] ?? 0) > share.value) index++;
  const [from, to] = [fall[index - 1] ?? 1, fall[index] ?? 1];
  const [fromOhms, toOhms] = [gridOhms[index - 1] ?? 0, gridOhms[index] ?? 0];
  const perOhm = (to - from) / (toOhms - fromOhms);
  // Less than 0.2 % of the current for an ohm: no reading of this kind can carry a statement.
  if (!(perOhm < -0.002)) return undefined;
  return { value: fromOhms + (share.value - from) / perOhm, uncertainty: share.uncertainty / -perOhm };
}
