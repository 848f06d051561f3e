import { connectorOf } from "../plan/connectors.js";
import { fedLamps } from "../plan/expected.js";
import type { Plan } from "../plan/plan-schema.js";
import type { Readings } from "../readings/readings.js";
import { ampsUncertainty, type HealthyCircuit } from "./circuit-evidence.js";
import type { Observation } from "./likelihood/observation.js";
import type { Feeding } from "./likelihood/reading-blocks.js";
import { drivenPins } from "./readings-fit-plan.js";
import type { FaultedVehicle } from "./simulation/faulted-vehicle.js";
import { predictBlock } from "./simulation/predict-block.js";
import type { ScatterModel } from "./simulation/scatter-model.js";

/** Half-width of the band of a healthy circuit in standard deviations: one healthy circuit in about a thousand lies outside. */
const bandDeviations = 3.3;

/** What every circuit of the plan reads when nothing is wrong, on this bench with its supply as it was. */
export function healthyCircuits(healthy: FaultedVehicle, scatter: ScatterModel, readings: Readings): HealthyCircuit[] {
  const { plan } = healthy.conditions;
  return drivenPins(plan).map((pin) => {
    const observation: Observation = { kind: "drive-amps", fed: pin, pin, value: 0, sigma: 0 };
    const drive = predictBlock(healthy, { feeding: { kind: "drive", pin }, observations: [observation] }, scatter);
    const driveVolts = pinVolts(healthy, { kind: "drive", pin });
    const amps = drive.values[0] ?? 0;
    let variance = (drive.extraVariance[0] ?? 0) + (ampsUncertainty(readings, amps) / 2) ** 2;
    for (const slope of drive.slopes) variance += slope ** 2;
    const half = bandDeviations * Math.sqrt(variance);
    return {
      pin,
      function: functionOf(plan, pin),
      amps: { expected: amps, low: Math.max(0, amps - half), high: amps + half },
      inrushAmps: inrushAmps(healthy, scatter, pin),
      lowVolts: pinVolts(healthy, { kind: "low", pin }),
      driveVolts,
      backFeedVolts: backFeedVolts(healthy, readings, pin),
      lights: fedLamps(plan, pin),
      ...farPinOf(plan, pin),
    };
  });
}

function inrushAmps(vehicle: FaultedVehicle, scatter: ScatterModel, pin: string): number {
  const observation: Observation = { kind: "peak", fed: pin, pin, value: 0, sigma: 0 };
  return (
    predictBlock(vehicle, { feeding: { kind: "inrush", pin }, observations: [observation] }, scatter).values[0] ?? 0
  );
}

function pinVolts(vehicle: FaultedVehicle, feeding: Feeding): Record<string, number> {
  const point = vehicle.feed(feeding);
  return Object.fromEntries(vehicle.built.pins.map((pin) => [pin, point.voltsOf(vehicle.built.pinNode(pin)) ?? 0]));
}

function backFeedVolts(vehicle: FaultedVehicle, readings: Readings, pin: string): Record<string, number> {
  const entries = (readings.backFeed ?? []).map(({ vehicle: functions }): [string, number] => {
    const point = vehicle.feed({ kind: "back-feed", functions });
    return [functions.join("+"), point.voltsOf(vehicle.built.pinNode(pin)) ?? 0];
  });
  return Object.fromEntries(entries);
}

function farPinOf(plan: Plan, pin: string): { farPin: string } | Record<string, never> {
  const far = plan.kind === "cable" ? plan.conductors.find(({ near }) => near === pin)?.far : undefined;
  return far === undefined ? {} : { farPin: far };
}

function functionOf(plan: Plan, pin: string): string {
  const circuit = plan.kind === "install" ? plan.circuits.find((one) => one.pin === pin) : undefined;
  return circuit?.function ?? connectorOf(plan).pins.find((one) => one.pin === pin)?.function ?? "auxiliary";
}
