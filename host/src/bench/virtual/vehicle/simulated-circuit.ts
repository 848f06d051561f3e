import type { Part } from "../../../circuit/network.js";
import { type PreparedNetwork, prepareNetwork, type RunResult } from "../../../circuit/prepared-network.js";
import type { AnalogSide, Switching } from "../board/analog-side.js";
import { BOARD } from "../board/board-values.js";
import { VirtualBenchError } from "../virtual-bench-error.js";
import {
  benchParts,
  type ChannelNodes,
  type LowSource,
  measuredSupplyVolts,
  setSwitches,
  shuntAmps,
} from "./bench-connections.js";
import { WarmingFilaments } from "./warming-filaments.js";

const FAR = BOARD.channels;
const SHUNT = 2 * BOARD.channels;
const SUPPLY = SHUNT + 1;
const FIRST_PROBE = SUPPLY + 1;
/** Good to a tenth of a microamp: far below one count of any converter. */
const RESIDUAL_AMPS = 1e-7;
/** A second, cold start is given more room than the solver's own default. */
const MOST_ITERATIONS = 1000;

export interface CircuitExtras {
  /** Pairs of nodes whose voltage somebody wants to know besides the bench: lamps. */
  readonly probes?: readonly (readonly [plus: string, minus: string])[];
  /** Sources of the parts that start switched off. */
  readonly switchedOff?: readonly string[];
  /** Of the bench; the design's if absent. */
  readonly lowSource?: LowSource;
}

/**
 * Any network on the bench's connector, over emulated time. The network is solved when a switch moves and then at the
 * ends of steps that are as long as the filaments' temperatures allow; in between, the bench reads a straight line.
 *
 * Throws `VirtualBenchError` `unsolvable` where the network has no operating point.
 */
export class SimulatedCircuit implements AnalogSide {
  readonly #nodes: ChannelNodes;
  readonly #lowSource: LowSource;
  readonly #network: PreparedNetwork;
  readonly #filaments: WarmingFilaments;
  readonly #probes: readonly (readonly [string, string])[];
  readonly #atStart: Float64Array;
  readonly #atEnd: Float64Array;
  #startSeconds = 0;
  #endSeconds = 0;
  #begun = false;

  constructor(parts: readonly Part[], nodes: ChannelNodes, extras: CircuitExtras = {}) {
    this.#nodes = nodes;
    this.#lowSource = extras.lowSource ?? BOARD.lowSource;
    this.#probes = extras.probes ?? [];
    this.#atStart = new Float64Array(FIRST_PROBE + this.#probes.length);
    this.#atEnd = new Float64Array(FIRST_PROBE + this.#probes.length);
    const made = prepareNetwork({
      reference: nodes.reference,
      parts: [...parts, ...benchParts(nodes, this.#lowSource)],
    });
    if (made.kind === "invalid") {
      throw new VirtualBenchError("unsolvable", made.problems.map((problem) => problem.text).join("; "));
    }
    this.#network = made.prepared;
    this.#filaments = new WarmingFilaments(parts);
    for (const id of extras.switchedOff ?? []) this.#network.setSource(id, 0, Number.POSITIVE_INFINITY);
  }

  switchTo(switching: Switching, atSeconds: number): void {
    this.alter(atSeconds, (network) => setSwitches(network, this.#nodes, this.#lowSource, switching));
  }

  /** Changes the network at a moment: whatever is switched in it, other than filaments. */
  alter(atSeconds: number, change: (network: PreparedNetwork) => void): void {
    if (this.#begun) this.#advance(atSeconds);
    this.#begun = true;
    this.#filaments.moveTo(this.#shareOf(atSeconds));
    change(this.#network);
    this.#filaments.holdIn(this.#network, "start");
    this.#solve(this.#atStart);
    this.#startSeconds = atSeconds;
    this.#endSeconds = atSeconds;
  }

  nearVolts(channel: number, atSeconds: number): number {
    return this.#read(channel, atSeconds);
  }

  farVolts(channel: number, atSeconds: number): number {
    return this.#read(FAR + channel, atSeconds);
  }

  shuntAmps(atSeconds: number): number {
    return this.#read(SHUNT, atSeconds);
  }

  supplyVolts(atSeconds: number): number {
    return this.#read(SUPPLY, atSeconds);
  }

  /** Volts across one of the probes. */
  probeVolts(probe: number, atSeconds: number): number {
    return this.#read(FIRST_PROBE + probe, atSeconds);
  }

  #read(quantity: number, atSeconds: number): number {
    this.#advance(atSeconds);
    const from = this.#atStart[quantity] ?? 0;
    if (atSeconds <= this.#startSeconds) return from;
    return from + this.#shareOf(atSeconds) * ((this.#atEnd[quantity] ?? from) - from);
  }

  #shareOf(atSeconds: number): number {
    const length = this.#endSeconds - this.#startSeconds;
    return length === 0 ? 0 : (atSeconds - this.#startSeconds) / length;
  }

  /** Steps until the present step reaches the given time. */
  #advance(toSeconds: number): void {
    while (toSeconds > this.#endSeconds) {
      if (this.#endSeconds > this.#startSeconds) {
        this.#filaments.moveTo(1);
        this.#atStart.set(this.#atEnd);
      }
      this.#startSeconds = this.#endSeconds;
      this.#endSeconds = this.#startSeconds + this.#filaments.step(this.#network);
      this.#filaments.holdIn(this.#network, "end");
      this.#solve(this.#atEnd);
    }
  }

  #solve(into: Float64Array): void {
    const network = this.#network;
    let result = network.run({ residualAmps: RESIDUAL_AMPS, warm: true });
    if (!isBalanced(result)) result = network.run({ residualAmps: RESIDUAL_AMPS, maxIterations: MOST_ITERATIONS });
    if (!isBalanced(result)) {
      const where = result.kind === "solved" ? "" : ` at ${result.worstNode}`;
      throw new VirtualBenchError("unsolvable", `The simulated circuit has no operating point${where}.`);
    }
    const { near, far } = this.#nodes;
    for (let channel = 0; channel < BOARD.channels; channel += 1) {
      into[channel] = this.#voltsAt(near[channel]);
      into[FAR + channel] = this.#voltsAt(far[channel]);
    }
    into[SHUNT] = shuntAmps(network);
    into[SUPPLY] = measuredSupplyVolts(network);
    for (const [index, [plus, minus]] of this.#probes.entries()) {
      into[FIRST_PROBE + index] = network.voltsAt(plus) - network.voltsAt(minus);
    }
  }

  #voltsAt(node: string | undefined): number {
    return node === undefined ? 0 : this.#network.voltsAt(node);
  }
}

/**
 * Whether the currents add up at every node. A node that hangs on nothing but leakage can go on shifting by microvolts without
 * a current that says so; no pin is such a node, as each has its divider.
 */
function isBalanced(result: RunResult): boolean {
  return result.kind === "solved" || result.residualAmps <= RESIDUAL_AMPS;
}
