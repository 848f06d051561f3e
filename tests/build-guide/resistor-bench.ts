import type { EmulatedBenchOptions } from "@pinwalk/host/bench/virtual/emulated-bench.js";
import { parsePlan } from "@pinwalk/host/plan/parse-plan.js";
import { ToldBench } from "../virtual-bench/told-bench.js";

/** A cable with four conductors on the emulated bench: known loads at its far end, known contacts on the way. */
export function benchOnCable(
  farLoadOhms: number,
  contactOhms: number,
  options: Partial<EmulatedBenchOptions> = {},
): ToldBench {
  const parsed = parsePlan({
    format: "pinwalk-plan/1",
    kind: "cable",
    name: "known resistors",
    nominalVolts: 12,
    near: "flat-4",
    far: "flat-4",
    conductors: ["1", "2", "3", "4"].map((pin) => ({ near: pin, far: pin, wire: { mm2: 2.5, metres: 0 } })),
    farLoadOhms,
    contactOhms,
  });
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
  const told = new ToldBench(parsed.plan, [], options);
  const armed = told.arm();
  if (!armed.startsWith("=arm")) throw new Error(armed);
  return told;
}

export interface Driven {
  readonly amps: number;
  readonly samples: number;
  readonly near: readonly (number | undefined)[];
  readonly far: readonly (number | undefined)[];
}

/** Drives channel 0 again and again until the current has settled. */
export function drives(told: ToldBench, times: number): Driven[] {
  return Array.from({ length: times }, () => {
    const id = Number(told.ask("drive 0 1000").split(" ")[1]);
    for (let waited = 0; waited < 10 && !told.said.includes(`~ended ${id} `); waited += 1) {
      told.ask("ping");
      told.pass(50);
    }
    const [, , end, milliamps, , , samples] = told.ask(`result ${id}`).split(" ");
    if (end !== "settled") throw new Error(`the drive ended as ${end}`);
    return {
      amps: Number(milliamps) / 1000,
      samples: Number(samples),
      near: told.volts(id, "near"),
      far: told.volts(id, "far"),
    };
  });
}

/** Near volts of channel 0 in the low-current check, again and again. */
export function lowChecks(told: ToldBench, times: number): number[] {
  return Array.from(
    { length: times },
    () => told.volts(Number(told.ask("low 0").split(" ")[1]), "near")[0] ?? Number.NaN,
  );
}

export const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;

/** Standard deviation of a sample. */
export function scatter(values: readonly number[]): number {
  const middle = mean(values);
  return Math.sqrt(values.reduce((sum, value) => sum + (value - middle) ** 2, 0) / (values.length - 1));
}
