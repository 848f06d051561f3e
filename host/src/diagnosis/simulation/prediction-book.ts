import type { Part } from "../../circuit/network.js";
import type { ConcreteFault } from "../hypotheses/concrete-fault.js";
import type { ReadingBlock } from "../likelihood/reading-blocks.js";
import { type ChangedPart, changedParts, nothingAmps, overlap, upsetAmps, wouldMove } from "./fault-action.js";
import { FaultedVehicle, type WalkConditions } from "./faulted-vehicle.js";
import { type BlockPrediction, predictBlock } from "./predict-block.js";
import { LazyPredictions, PredictedWalk } from "./predicted-walk.js";
import type { ScatterModel } from "./scatter-model.js";
import { TunedVehicle, type Tuning } from "./tuned-vehicle.js";

/** Vehicles that are kept to be tuned, one for each fault that has to be built. */
const mostVehicles = 80;

/** By so much each branch differs from the one before, ohms: plain in the seventh digit of its current. */
const unlikeOhms = 1e-3;

/** Predicts readings for sets of faults, solving only what the faults can move and only when it is asked for. */
export class PredictionBook {
  readonly healthy: PredictedWalk;
  private readonly healthyBlocks: readonly BlockPrediction[];
  /** Current through each part in each block, amps, in a vehicle without faults of which no two branches are the same. */
  private readonly unlikeAmps: ReadonlyMap<string, Float64Array>;
  private readonly tunable = new Map<string, TunedVehicle>();

  constructor(
    readonly conditions: WalkConditions,
    readonly blocks: readonly ReadingBlock[],
    readonly scatter: ScatterModel,
    readonly healthyVehicle: FaultedVehicle,
  ) {
    this.healthyBlocks = blocks.map((block) => predictBlock(healthyVehicle, block, scatter));
    this.unlikeAmps = this.ampsOfUnlikeBranches();
    const still = blocks.map(() => false);
    this.healthy = new PredictedWalk([], [], new LazyPredictions(still, (block) => this.healthyAt(block)));
  }

  healthyAt(block: number): BlockPrediction {
    const found = this.healthyBlocks[block];
    if (found === undefined) throw new RangeError(`no block ${block}`);
    return found;
  }

  /** Left and right branches of the same length and lamp carry one current without lying in series: here they do not. */
  private ampsOfUnlikeBranches(): Map<string, Float64Array> {
    const { parts } = this.healthyVehicle;
    const feeds = [...parts.values()].filter(({ kind, id }) => kind === "resistor" && id.startsWith("feed:"));
    const unlike = feeds.flatMap((part, at): [string, Part][] =>
      part.kind === "resistor" ? [[part.id, { ...part, ohms: part.ohms + (at + 1) * unlikeOhms }]] : [],
    );
    const vehicle = this.vehicleWith([], new Map(unlike));
    const amps = new Map([...parts.keys()].map((id) => [id, new Float64Array(this.blocks.length)]));
    this.blocks.forEach(({ feeding }, at) => {
      vehicle.feed(feeding, this.healthyAt(at).point);
      for (const [id, row] of amps) row[at] = vehicle.prepared.ampsThrough(id);
    });
    return amps;
  }

  /** A vehicle with faults in it, their sizes as estimated. */
  vehicleWith(faults: readonly ConcreteFault[], others: ReadonlyMap<string, Part> = new Map()): FaultedVehicle {
    const replaced = new Map([
      ...others,
      ...faults.flatMap(({ replacement }) => (replacement ? [[replacement.id, replacement] as const] : [])),
    ]);
    return new FaultedVehicle(
      this.conditions,
      faults.map(({ fault }) => fault),
      replaced,
    );
  }

  /**
   * One vehicle for all faults that change one value, or for these beside one that has to be built: building a network costs
   * more than solving it. What was tuned before is put back.
   */
  private tunedTo(tunings: readonly Tuning[], built: readonly ConcreteFault[] = []): FaultedVehicle {
    // A lamp of another kind comes in many sizes under one name.
    const key = built.map(({ fault, replacement }) => JSON.stringify([fault, replacement])).join(" ");
    let tunable = this.tunable.get(key);
    if (tunable === undefined) {
      tunable = new TunedVehicle((replaced) => this.vehicleWith(built, replaced));
      for (const [oldest] of this.tunable) {
        if (this.tunable.size < mostVehicles) break;
        if (oldest !== "") this.tunable.delete(oldest);
      }
      this.tunable.set(key, tunable);
    }
    return tunable.tunedTo(tunings);
  }

  /** What a fault changes in the network. */
  changesOf(vehicle: FaultedVehicle): ChangedPart[] {
    return changedParts(this.healthyVehicle.parts, vehicle.parts);
  }

  /** Predictions of one fault that its own network has to be built for. */
  single(fault: ConcreteFault): PredictedWalk {
    let vehicle: FaultedVehicle | undefined = this.vehicleWith([fault]);
    const changes = this.changesOf(vehicle);
    const release = (): void => {
      vehicle = undefined;
    };
    const vehicleAgain = (): FaultedVehicle => {
      vehicle ??= this.vehicleWith([fault]);
      return vehicle;
    };
    return this.predicted(fault, changes, vehicleAgain, { release });
  }

  /** Predictions of one fault that changes one value; `like` are those of a similar one, to start from. */
  tunedSingle(fault: ConcreteFault, change: ChangedPart, tuning: Tuning, like?: PredictedWalk): PredictedWalk {
    return this.predicted(fault, [change], () => this.tunedTo([tuning]), { tuning, like });
  }

  private predicted(
    fault: ConcreteFault,
    changes: readonly ChangedPart[],
    vehicle: () => FaultedVehicle,
    { tuning, like, release }: { tuning?: Tuning; like?: PredictedWalk | undefined; release?: () => void },
  ): PredictedWalk {
    const upset = this.healthyBlocks.map(({ point, block }) => upsetAmps(changes, point, isCold(block)));
    const moved = upset.map((amps) => amps > nothingAmps);
    const order = moved.flatMap((isMoved, block) => (isMoved ? [block] : []));
    order.sort((a, b) => (upset[b] ?? 0) - (upset[a] ?? 0) || a - b);
    const solve = (block: number): BlockPrediction => {
      const healthy = this.healthyAt(block);
      if (moved[block] !== true) return healthy;
      const from = like?.lazy.knownAt(block) ?? healthy;
      return predictBlock(vehicle(), healthy.block, this.scatter, from.point);
    };
    return new PredictedWalk([fault], changes, new LazyPredictions(moved, solve, order, release, upset), tuning);
  }

  /** Predictions of two faults together: each block as one of them alone has it where the other does not reach. */
  pair(first: PredictedWalk, second: PredictedWalk): PredictedWalk {
    const faults = [...first.faults, ...second.faults];
    const entangled = overlap(first.changes, second.changes);
    const vehicle = this.pairVehicle(first, second);
    const moved = this.healthyBlocks.map((_, block) => first.movedAt(block) || second.movedAt(block));
    const lazy = new LazyPredictions(moved, (block) => {
      const healthy = this.healthyAt(block);
      if (moved[block] !== true) return healthy;
      const cold = isCold(healthy.block);
      const one = first.at(block);
      if (!entangled && !wouldMove(second.changes, first.pointAt(block), cold)) return one;
      const other = second.at(block);
      if (!entangled && !wouldMove(first.changes, second.pointAt(block), cold)) return other;
      return predictBlock(vehicle(), healthy.block, this.scatter, first.movedAt(block) ? one.point : other.point);
    });
    return new PredictedWalk(faults, [...first.changes, ...second.changes], lazy);
  }

  private pairVehicle(first: PredictedWalk, second: PredictedWalk): () => FaultedVehicle {
    const both = [first, second];
    const tunings = both.flatMap(({ tuning }) => tuning ?? []);
    const built = both.filter(({ tuning }) => tuning === undefined).flatMap(({ faults }) => faults);
    if (built.length < 2) return () => this.tunedTo(tunings, built);
    let own: FaultedVehicle | undefined;
    return () => {
      own ??= this.vehicleWith(built);
      return own;
    };
  }

  /** The same walk with its two faults named in the other order. */
  turned(walk: PredictedWalk): PredictedWalk {
    return new PredictedWalk([...walk.faults].reverse(), walk.changes, walk.lazy);
  }

  /**
   * A key that parts share when they carry one and the same current however the network is fed: they lie in series, and a
   * resistance in one moves the readings exactly as in the other. Undefined for a part that the plan does not have.
   */
  seriesKey(partId: string): string | undefined {
    const amps = this.unlikeAmps.get(partId);
    return amps && Array.from(amps, (one) => (Math.abs(one) < 1e-9 ? "0" : Math.abs(one).toPrecision(7))).join(" ");
  }
}

function isCold({ feeding }: ReadingBlock): boolean {
  return feeding.kind === "inrush";
}
