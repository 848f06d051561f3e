import { type Adapter, adapterOf } from "../../../plan/adapter.js";
import type { Fault } from "../../../plan/fault.js";
import { defaultLibrary, type PartsLibrary } from "../../../plan/parts/parts-library.js";
import { type PlanNetwork, planNetwork } from "../../../plan/plan-network.js";
import type { Plan } from "../../../plan/plan-schema.js";
import type { AnalogSide } from "../board/analog-side.js";
import { BOARD } from "../board/board-values.js";
import { VirtualBenchError, type VirtualBenchErrorCode } from "../virtual-bench-error.js";
import type { ChannelNodes, LowSource } from "./bench-connections.js";
import { PlayedFunctions } from "./played-functions.js";
import type { PlayedFunction } from "./played-signal.js";
import { SimulatedCircuit } from "./simulated-circuit.js";

/** A vehicle or a cable on the bench's connector. */
export interface SimulatedVehicle {
  readonly side: AnalogSide;
  /** Volts across each lamp, by `socket.filament`. */
  lampVolts(atSeconds: number): Record<string, number>;
  /** Switches the vehicle's own supply onto the lamps of these functions, and off all others; for back-feed. */
  switchOwn(functions: readonly string[], atSeconds: number): void;
  /** The same, each as its waveform wants it from now on. Throws `bad-setting`. */
  playOwn(functions: readonly PlayedFunction[], atSeconds: number): void;
  /** Volts at the calibration plug against ground, where one is on. */
  plugVolts?(atSeconds: number): number;
}

/** The vehicle's own switches: 0.1 Ω of wiring and a rested battery, 12.6 V per nominal 12 V (common practice, no source). */
const OWN_OHMS = 0.1;
const OWN_VOLTS_PER_NOMINAL = 12.6 / 12;

/**
 * Builds what a plan describes, with faults, as the bench meets it. Throws `VirtualBenchError` `bad-fault` for a place that the
 * plan does not have, `bad-plan` for a connector that the bench cannot take, `unsolvable`.
 */
export function simulatedVehicle(
  plan: Plan,
  faults: readonly Fault[],
  ambientC: number,
  {
    lowSource = BOARD.lowSource,
    library = defaultLibrary,
  }: { readonly lowSource?: LowSource; readonly library?: PartsLibrary } = {},
): SimulatedVehicle {
  const adapter = orRefuse("bad-plan", () => adapterOf(plan));
  const built = orRefuse("bad-fault", () => planNetwork(plan, { faults, ambientC, library }));
  const minus = built.chassisNode ?? built.reference;
  const ownParts = built.lamps.map(
    (lamp) =>
      ({ kind: "source", id: ownId(lamp.id), plus: lamp.factoryNode, minus, volts: 0, ohms: OWN_OHMS }) as const,
  );
  const circuit = new SimulatedCircuit([...built.parts, ...ownParts], channelNodes(built, adapter), {
    probes: built.lamps.map(({ feedNode, returnNode }) => [feedNode, returnNode] as const),
    switchedOff: ownParts.map(({ id }) => id),
    lowSource,
  });
  const played = new PlayedFunctions((functions, atSeconds) =>
    circuit.alter(atSeconds, (network) => {
      for (const lamp of built.lamps) {
        const on = lamp.functions.some((one) => functions.includes(one));
        const volts = on ? plan.nominalVolts * OWN_VOLTS_PER_NOMINAL : 0;
        network.setSource(ownId(lamp.id), volts, on ? OWN_OHMS : Number.POSITIVE_INFINITY);
      }
    }),
  );
  return {
    side: playedSide(circuit, played),
    lampVolts: (atSeconds) => {
      played.catchUp(atSeconds);
      return Object.fromEntries(built.lamps.map(({ id }, index) => [id, circuit.probeVolts(index, atSeconds)]));
    },
    switchOwn: (functions, atSeconds) =>
      played.play(
        functions.map((one) => ({ function: one, waveform: { kind: "steady" } })),
        atSeconds,
      ),
    playOwn: (functions, atSeconds) => played.play(functions, atSeconds),
  };
}

/** The circuit, with the vehicle's own switches where they are at each moment that somebody looks. */
function playedSide(circuit: SimulatedCircuit, played: PlayedFunctions): AnalogSide {
  const at = (atSeconds: number): SimulatedCircuit => {
    played.catchUp(atSeconds);
    return circuit;
  };
  return {
    switchTo: (switching, atSeconds) => at(atSeconds).switchTo(switching, atSeconds),
    nearVolts: (channel, atSeconds) => at(atSeconds).nearVolts(channel, atSeconds),
    farVolts: (channel, atSeconds) => at(atSeconds).farVolts(channel, atSeconds),
    shuntAmps: (atSeconds) => at(atSeconds).shuntAmps(atSeconds),
    supplyVolts: (atSeconds) => at(atSeconds).supplyVolts(atSeconds),
  };
}

function ownId(lamp: string): string {
  return `own-switch:${lamp}`;
}

function channelNodes(built: PlanNetwork, adapter: Adapter): ChannelNodes {
  const near = new Array<string | undefined>(BOARD.channels).fill(undefined);
  const far = new Array<string | undefined>(BOARD.channels).fill(undefined);
  for (const { pin, channel } of adapter.near) {
    near[channel] = pin === built.groundPin ? built.reference : built.pinNode(pin);
  }
  for (const { pin, channel } of adapter.far) far[channel] = built.farPinNode(pin);
  return { reference: built.reference, near, far };
}

function orRefuse<T>(code: VirtualBenchErrorCode, make: () => T): T {
  try {
    return make();
  } catch (cause) {
    if (cause instanceof RangeError) throw new VirtualBenchError(code, cause.message, { cause });
    throw cause;
  }
}
