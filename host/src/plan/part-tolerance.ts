import type { Part } from "../circuit/network.js";
import type { LampLoad } from "./lamp-load.js";
import { lampFromBulb, lampFromSpec } from "./lamp-load.js";
import type { PartsLibrary } from "./parts/parts-library.js";
import type { PlanNetwork } from "./plan-network.js";

/**
 * One thing about a plan's network that is not known exactly: which part, and its standard uncertainty in units of
 * `vary`'s second argument (relative for resistances and lamp currents, volts for a diode's drop).
 */
export interface Tolerance {
  readonly partId: string;
  readonly standard: number;
  /** Parts of one type share half of their variance: they came out of one box (a decision; no source). */
  readonly type?: string;
}

/** Limits of joints and wires, relative, rectangular (common practice, no source): joints half to one and a half times, wire by length and copper. */
const limits = { joint: 0.5, wire: 0.05, farLoad: 0.05 } as const;
/** Limits of a diode's forward drop about its model, volts, rectangular (data sheets of one type differ by 0.05 to 0.15 V at 6 A). */
const diodeLimitVolts = 0.05;

/** Correlation of two parts of one type: half of their variance is the batch's, half their own (a decision; no source). */
export const correlationWithinType = 0.5;

/** Correlation of two inputs. */
export function correlationOf(first: Tolerance | undefined, second: Tolerance | undefined): number {
  return first?.type !== undefined && first.type === second?.type ? correlationWithinType : 0;
}

/** A rectangular distribution's standard deviation is its half width over √3 (GUM 4.3.7). */
const rectangular = (limit: number): number => limit / Math.sqrt(3);

/** Everything uncertain in a plan's network. */
export function tolerancesOf(built: PlanNetwork, library: PartsLibrary): Tolerance[] {
  const lamps = new Map<string, { load: LampLoad; tolerance: number }>();
  for (const lamp of built.lamps) {
    const stated = statedTolerance(built, lamp.id);
    for (const id of lamp.partIds) lamps.set(id, { load: lamp.load, tolerance: stated ?? lamp.load.tolerance });
  }
  for (const [id, load] of factoryLoadsById(built, library)) lamps.set(id, { load, tolerance: load.tolerance });
  return built.parts.flatMap((part): Tolerance[] => {
    const lamp = lamps.get(part.id);
    if (lamp !== undefined) return [{ partId: part.id, standard: rectangular(lamp.tolerance), type: lamp.load.type }];
    if (part.kind === "diode") return [{ partId: part.id, standard: rectangular(diodeLimitVolts), type: "diode" }];
    if (part.kind !== "resistor" || part.ohms === 0) return [];
    if (part.id.startsWith("far-load:")) return [{ partId: part.id, standard: rectangular(limits.farLoad) }];
    const joint = /^(contact|far-contact|socket-ground|ground-bond)/.test(part.id);
    return [{ partId: part.id, standard: rectangular(joint ? limits.joint : limits.wire) }];
  });
}

/** A part changed by `amount`: relative for a resistance or a lamp's current, volts for a diode's drop. */
export function varyPart(part: Part, amount: number, thermalVolts: number): Part {
  switch (part.kind) {
    case "resistor":
      // A lamp that is a resistor varies in current, a joint in resistance; to first order only the sign differs.
      return { ...part, ohms: part.ohms * Math.max(1 + amount, 1e-3) };
    case "diode": {
      const factor = Math.exp(-amount / (part.model.ideality * thermalVolts));
      return { ...part, model: { ...part.model, saturationAmps: part.model.saturationAmps * factor } };
    }
    case "filament":
      return { ...part, model: { ...part.model, designAmps: part.model.designAmps * (1 + amount) } };
    case "led":
      return { ...part, model: { ...part.model, amps: part.model.amps * (1 + amount) } };
    case "source":
    case "current-source":
      return part;
  }
}

function statedTolerance(built: PlanNetwork, lampId: string): number | undefined {
  if (built.plan.kind !== "install") return undefined;
  const circuit = built.plan.circuits.find((one) => one.feeds.some((feed) => feed.to === lampId));
  return circuit?.tolerance;
}

function factoryLoadsById(built: PlanNetwork, library: PartsLibrary): [string, LampLoad][] {
  const { plan } = built;
  if (plan.kind !== "install") return [];
  return plan.sockets.flatMap((socket) =>
    (["bright", "dim"] as const).flatMap((filament) =>
      (socket.factory?.[filament] ?? []).flatMap((load, at): [string, LampLoad][] => {
        const found =
          "bulb" in load ? lampFromBulb(load, plan.nominalVolts, library) : lampFromSpec(load, plan.nominalVolts);
        return found === undefined ? [] : [[`factory-load:${socket.id}.${filament}/${at}`, found]];
      }),
    ),
  );
}
