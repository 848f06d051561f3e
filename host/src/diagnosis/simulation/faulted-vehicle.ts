import { filamentConstants } from "../../circuit/filament.js";
import type { Part } from "../../circuit/network.js";
import type { PreparedNetwork, RunResult } from "../../circuit/prepared-network.js";
import { attachBench, type BenchCircuit } from "../../plan/attach-bench.js";
import type { Fault } from "../../plan/fault.js";
import type { PartsLibrary } from "../../plan/parts/parts-library.js";
import { type PlanNetwork, planNetwork } from "../../plan/plan-network.js";
import type { Plan } from "../../plan/plan-schema.js";
import type { Readings } from "../../readings/readings.js";
import { vehicleSupply } from "../hypotheses/part-scatter.js";
import type { Feeding } from "../likelihood/reading-blocks.js";
import { voltsAt } from "./fault-action.js";
import { OperatingPoint } from "./operating-point.js";

/** What every simulated walk of one diagnosis has in common. */
export interface WalkConditions {
  readonly plan: Plan;
  readonly source: Readings["source"];
  readonly ambientC: number;
  readonly library: PartsLibrary;
}

/** Currents this small leave every reading where it is, amps. */
const residualAmps = 1e-9;

/** A vehicle or cable with faults in it, on the tester: fed one way after another. */
export class FaultedVehicle {
  readonly built: PlanNetwork;
  readonly bench: BenchCircuit;
  /** Parts by id, without the tester's own. */
  readonly parts: ReadonlyMap<string, Part>;
  /** The same parts in the order of the network, each as it is now. */
  readonly partsNow: Part[];
  private readonly coldFilaments: readonly { id: string; ohms: number }[];
  private readonly ties: ReadonlyMap<string, number>;
  /** For other networks that a run started from: where each of this network's nodes is there, −1 for nowhere. */
  private readonly placesThere = new Map<ReadonlyMap<string, number>, Int32Array>();
  private held = false;

  constructor(
    readonly conditions: WalkConditions,
    readonly faults: readonly Fault[],
    replaced: ReadonlyMap<string, Part> = new Map(),
  ) {
    const { plan, source, ambientC, library } = conditions;
    const planned = planNetwork(plan, { faults, ambientC, library });
    this.built = { ...planned, parts: planned.parts.map((part) => replaced.get(part.id) ?? part) };
    this.bench = attachBench(this.built, source);
    this.parts = new Map(this.built.parts.map((part) => [part.id, part]));
    this.partsNow = [...this.built.parts];
    const ties = this.built.parts.filter((part) => part.kind === "resistor" && part.ohms === 0);
    this.ties = new Map(ties.map((part) => [part.id, this.prepared.indexOfPart(part.id)]));
    this.coldFilaments = this.built.parts.flatMap((part) =>
      part.kind === "filament" ? [{ id: part.id, ohms: filamentConstants(part.model, part.celsius).coldOhms }] : [],
    );
  }

  get prepared(): PreparedNetwork {
    return this.bench.prepared;
  }

  /** Changes the ohms of a part that is a resistor, such as the one that a fault put in. */
  setOhms(partId: string, ohms: number): void {
    this.prepared.setOhms(partId, ohms);
    const part = this.parts.get(partId);
    // The tester's parts come after the vehicle's own.
    if (part?.kind === "resistor") this.partsNow[this.prepared.indexOfPart(partId)] = { ...part, ohms };
  }

  /** A part as it is now. */
  partNow(part: Part): Part {
    return this.partsNow[this.prepared.indexOfPart(part.id)] ?? part;
  }

  /** Feeds the network one way and finds its operating point; faster from the point of a vehicle much like this one. */
  feed(feeding: Feeding, from?: OperatingPoint): OperatingPoint {
    this.bench.vehicle([], 0);
    this.holdFilaments(feeding.kind === "inrush");
    switch (feeding.kind) {
      case "rest":
        this.bench.rest();
        break;
      case "low":
        this.bench.low(feeding.pin);
        break;
      case "drive":
      case "inrush":
        this.bench.drive(feeding.pin);
        break;
      case "back-feed":
        this.bench.rest();
        this.bench.vehicle(feeding.functions, (this.built.plan.nominalVolts * vehicleSupply.volts) / 12);
        break;
    }
    const result = this.solvedFrom(from) ?? this.bench.run({ residualAmps });
    const { prepared } = this;
    const tieAmps = new Map<string, number>();
    for (const [id, index] of this.ties) tieAmps.set(id, prepared.ampsOfPart(index));
    return new OperatingPoint(result.kind === "solved", prepared.nodeIndex, prepared.nodeVolts.slice(), tieAmps);
  }

  /** Undefined where there is nothing to start from, or nothing is found from there. */
  private solvedFrom(from: OperatingPoint | undefined): RunResult | undefined {
    if (from === undefined) return undefined;
    this.startFrom(from);
    const result = this.prepared.run({ residualAmps, warm: true });
    return result.kind === "solved" ? result : undefined;
  }

  private startFrom(from: OperatingPoint): void {
    const { nodes } = this.prepared;
    let places = this.placesThere.get(from.nodeIndex);
    if (places === undefined) {
      places = Int32Array.from(nodes, (node) => from.nodeIndex.get(node) ?? -1);
      this.placesThere.set(from.nodeIndex, places);
    }
    const there = places;
    this.prepared.startFrom((index) => {
      const place = there[index] ?? -1;
      return place >= 0 ? from.volts[place] : voltsAt(nodes[index] ?? "", from);
    });
  }

  /** In the first milliseconds filaments are as cold as the air. */
  private holdFilaments(cold: boolean): void {
    if (cold === this.held) return;
    for (const { id, ohms } of this.coldFilaments) this.prepared.holdFilament(id, cold ? ohms : undefined);
    this.held = cold;
  }
}
