import { thermalVolts } from "../circuit/diode.js";
import { attachBench, type BenchCircuit, type BenchSource, referenceBenchSource } from "./attach-bench.js";
import { connectorOf } from "./connectors.js";
import { combinedCovariance } from "./gum.js";
import { correlationOf, type Tolerance, tolerancesOf, varyPart } from "./part-tolerance.js";
import { defaultLibrary, type PartsLibrary } from "./parts/parts-library.js";
import { type PlanNetwork, planNetwork } from "./plan-network.js";
import type { Plan } from "./plan-schema.js";

/** What a healthy pin should show when it alone is driven. Volts against the tester's ground, amps out of the tester. */
export interface ExpectedPin {
  readonly pin: string;
  readonly function: string;
  readonly amps: number;
  /** Band of the measured current: two standard uncertainties either way, about 95 % of healthy vehicles. */
  readonly low: number;
  readonly high: number;
  /** Combined standard uncertainty of the current, parts and bench together, amps. */
  readonly standardAmps: number;
  readonly volts: number;
  /** Volts across each lamp that the pin feeds. */
  readonly lampVolts: Readonly<Record<string, number>>;
  /** Volts of each far pin; empty for an install plan. */
  readonly farVolts: Readonly<Record<string, number>>;
  /** True where the plan forbids driving the pin; the figures then say what its own supply would see. */
  readonly senseOnly: boolean;
}

/** Expanded uncertainty (k = 2) of the tester's readings, as the readings format carries it. */
export interface BenchUncertainty {
  readonly amps: { readonly relative: number; readonly offset: number };
  readonly volts: { readonly relative: number; readonly offset: number };
}

export interface ExpectedOptions {
  /** The supply before the tester's own resistance. Default 12.8 V for each nominal 12 V. */
  readonly sourceVolts?: number;
  readonly sourceOhms?: number;
  readonly senseOhms?: number;
  readonly ambientC?: number;
  readonly uncertainty?: BenchUncertainty;
  readonly library?: PartsLibrary;
}

/** A calibrated reference bench. */
export const referenceUncertainty: BenchUncertainty = {
  amps: { relative: 0.01, offset: 0.003 },
  volts: { relative: 0.005, offset: 0.01 },
};

/** Coverage factor of the band (GUM 6.2.1; about 95 %). */
export const coverageFactor = 2;

/**
 * The expected load of every pin of a plan, with its band by the rule of the GUM (JCGM 100:2008, 5.1.2 and 5.2.2):
 * sensitivities by central differences over one standard uncertainty, parts of one type correlated.
 */
export function expectedLoads(plan: Plan, options: ExpectedOptions = {}): ExpectedPin[] {
  const library = options.library ?? defaultLibrary;
  const ambientC = options.ambientC ?? 20;
  const source = sourceOf(plan, options);
  const uncertainty = options.uncertainty ?? referenceUncertainty;
  const built = planNetwork(plan, { ambientC, library });
  const pins = drivenPins(built);
  const nominal = solvePins(attachBench(built, source), pins, source.volts);
  const tolerances = tolerancesOf(built, library);
  const changes = tolerances.map((tolerance) => changeOfAmps(built, source, pins, tolerance, ambientC));
  const sourceStandard = (uncertainty.volts.relative * source.volts + uncertainty.volts.offset) / 2;
  const bench = attachBench(built, source);
  const above = solvePins(bench, pins, source.volts + sourceStandard);
  const below = solvePins(bench, pins, source.volts - sourceStandard);
  return pins.map((pin, at) => {
    const point = nominal[at] ?? noPoint;
    const ofPin = changes.map((change) => change[at] ?? 0);
    const parts = combinedCovariance(ofPin, ofPin, (i, j) => correlationOf(tolerances[i], tolerances[j]));
    const supply = ((above[at]?.amps ?? 0) - (below[at]?.amps ?? 0)) / 2;
    const meter = (uncertainty.amps.relative * Math.abs(point.amps) + uncertainty.amps.offset) / 2;
    const standardAmps = Math.sqrt(parts + supply ** 2 + meter ** 2);
    return {
      pin,
      function: functionOf(plan, pin),
      amps: point.amps,
      low: Math.max(0, point.amps - coverageFactor * standardAmps),
      high: point.amps + coverageFactor * standardAmps,
      standardAmps,
      volts: point.volts,
      lampVolts: point.lampVolts,
      farVolts: point.farVolts,
      senseOnly: (plan.senseOnly ?? []).includes(pin),
    };
  });
}

/** Source of the expectation for a plan: the reference bench, at 12.8 V for each nominal 12 V unless told. */
export function sourceOf(plan: Plan, options: ExpectedOptions): BenchSource {
  return {
    ...referenceBenchSource,
    volts: options.sourceVolts ?? (12.8 * plan.nominalVolts) / 12,
    ohms: options.sourceOhms ?? referenceBenchSource.ohms,
    senseOhms: options.senseOhms ?? referenceBenchSource.senseOhms,
  };
}

/** The pins that carry a circuit or conductor, without the ground pin, in the plan's order. */
export function drivenPins(built: PlanNetwork): string[] {
  const { plan } = built;
  const pins = plan.kind === "install" ? plan.circuits.map((one) => one.pin) : plan.conductors.map((one) => one.near);
  return pins.filter((pin) => pin !== built.groundPin);
}

interface PinPoint {
  readonly amps: number;
  readonly volts: number;
  readonly lampVolts: Record<string, number>;
  readonly farVolts: Record<string, number>;
}

const noPoint: PinPoint = { amps: 0, volts: 0, lampVolts: {}, farVolts: {} };

function solvePins(bench: BenchCircuit, pins: readonly string[], volts: number): PinPoint[] {
  return pins.map((pin) => {
    bench.drive(pin, volts);
    const result = bench.run();
    if (result.kind === "not-converged") {
      throw new Error(`no operating point for pin ${pin}: ${result.residualAmps} A left at ${result.worstNode}`);
    }
    return {
      amps: bench.sourceAmps(),
      volts: bench.pinVolts(pin),
      lampVolts: Object.fromEntries(fedLamps(bench.built.plan, pin).map((lamp) => [lamp, bench.lampVolts(lamp)])),
      farVolts: Object.fromEntries(bench.built.farPins.map((far) => [far, bench.farVolts(far)])),
    };
  });
}

function changeOfAmps(
  built: PlanNetwork,
  source: BenchSource,
  pins: readonly string[],
  tolerance: Tolerance,
  ambientC: number,
): number[] {
  const varied = (amount: number): PinPoint[] => {
    const parts = built.parts.map((part) =>
      part.id === tolerance.partId ? varyPart(part, amount, thermalVolts(ambientC)) : part,
    );
    return solvePins(attachBench({ ...built, parts }, source), pins, source.volts);
  };
  const above = varied(tolerance.standard);
  const below = varied(-tolerance.standard);
  return pins.map((_, at) => ((above[at]?.amps ?? 0) - (below[at]?.amps ?? 0)) / 2);
}

/** Lamps that a pin's circuit feeds. */
export function fedLamps(plan: Plan, pin: string): string[] {
  if (plan.kind !== "install") return [];
  return plan.circuits.find((circuit) => circuit.pin === pin)?.feeds.map((feed) => feed.to) ?? [];
}

function functionOf(plan: Plan, pin: string): string {
  const circuit = plan.kind === "install" ? plan.circuits.find((one) => one.pin === pin) : undefined;
  return circuit?.function ?? connectorOf(plan).pins.find((one) => one.pin === pin)?.function ?? "auxiliary";
}
