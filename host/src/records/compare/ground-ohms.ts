import { connectorOf } from "../../plan/connectors.js";
import type { Plan } from "../../plan/plan-schema.js";
import type { DriveReading } from "../../readings/readings.js";
import type { PinwalkRecord } from "../record-schema.js";
import type { MeasuredValue } from "./measured-value.js";

const leastAmps = 0.05;

/** The far contact of the conductor that hangs on the near ground pin. */
function farGround(plan: Plan): string | undefined {
  if (plan.kind !== "cable") return undefined;
  try {
    const ground = connectorOf(plan).pins.find((pin) => pin.function === "ground")?.pin;
    return plan.conductors.find(({ near }) => near === ground)?.far;
  } catch {
    return undefined;
  }
}

/** Pins whose every lamp hangs on them without a diode, with their lamps: such a pin, while not driven, shows the chassis' voltage. */
function openPins(plan: Plan): ReadonlyMap<string, ReadonlySet<string>> {
  if (plan.kind !== "install") return new Map();
  return new Map(
    plan.circuits
      .filter(({ feeds }) => feeds.length > 0 && feeds.every(({ isolation }) => isolation === "none"))
      .map(({ pin, feeds }) => [pin, new Set(feeds.map(({ to }) => to))]),
  );
}

function socketsOf(plan: Plan, pin: string): ReadonlySet<string> {
  if (plan.kind !== "install") return new Set();
  const feeds = plan.circuits.find((circuit) => circuit.pin === pin)?.feeds ?? [];
  return new Set(feeds.map(({ to }) => to.split(".")[0] ?? to));
}

/** Volts that stand on the ground path while `drive` goes on, as far as a pin shows them. */
function groundVolts(plan: Plan, drive: DriveReading): number | undefined {
  const far = farGround(plan);
  if (far !== undefined) return drive.farVolts?.[far];
  const driven = socketsOf(plan, drive.pin);
  for (const [pin, lamps] of openPins(plan)) {
    // A pin with a lamp in a driven socket shows that socket's own ground too, which is not the path that all share.
    const apart = [...lamps].every((lamp) => !driven.has(lamp.split(".")[0] ?? lamp));
    if (pin !== drive.pin && apart && drive.volts[pin] !== undefined) return drive.volts[pin];
  }
  return undefined;
}

/**
 * Resistance of the ground path as measured: the voltage that the returning current leaves on it, over all drives that show
 * it, by least squares through the origin. A cable shows it at the far ground contact; a vehicle shows it only on a pin whose
 * lamps have no isolation diode, for a diode keeps the chassis' voltage from the pin. Null where nothing shows it.
 */
export function measuredGroundOhms({
  record,
}: {
  readonly record: Pick<PinwalkRecord, "plan" | "readings" | "findings">;
}): MeasuredValue | null {
  let product = 0;
  let square = 0;
  let currents = 0;
  const circuits = new Map(record.findings.circuits.map(({ pin, verdict }) => [pin, verdict]));
  for (const drive of record.readings.drives ?? []) {
    const verdict = circuits.get(drive.pin);
    if (
      drive.tripped ||
      drive.amps < leastAmps ||
      verdict === "bridged" ||
      verdict === "not-isolated" ||
      verdict === "swapped"
    )
      continue;
    const volts = groundVolts(record.plan, drive);
    if (volts === undefined) continue;
    product += volts * drive.amps;
    square += drive.amps ** 2;
    currents += drive.amps;
  }
  if (square === 0) return null;
  const value = product / square;
  const { amps, volts } = record.readings.tester.uncertainty;
  // The offset of one input is the same in every drive, so it does not average out.
  return {
    value,
    uncertainty: Math.hypot((volts.offset * currents) / square, value * (volts.relative + amps.relative)),
  };
}
