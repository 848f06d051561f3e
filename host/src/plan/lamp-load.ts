import type { DiodeModel } from "../circuit/diode.js";
import type { Part } from "../circuit/network.js";
import type { FilamentName } from "./parts/bulb.js";
import { findBulb, findDiode, type PartsLibrary } from "./parts/parts-library.js";
import {
  type BulbLoad,
  defaultKneeVolts,
  type InstallPlan,
  type Isolation,
  type LampSpec,
  type Socket,
} from "./plan-schema.js";

/** What a lamp is electrically, whatever the plan called it; alike ones in parallel are already counted in. */
export type LampLoad = {
  /** For people: "1157 bright", "LED". */
  readonly name: string;
  /** Volts that the maker rates it at. */
  readonly designVolts: number;
  /** Relative limits of its current (rectangular). */
  readonly tolerance: number;
  /** Parts of the same type vary together in part. */
  readonly type: string;
} & (
  | { readonly kind: "filament"; readonly amps: number }
  | { readonly kind: "led"; readonly amps: number; readonly kneeVolts: number; readonly regulated: boolean }
  | { readonly kind: "resistor"; readonly ohms: number }
  | { readonly kind: "battery"; readonly volts: number; readonly ohms: number }
);

/** Current limits of lamps that no catalogue rates, relative (common practice, no source). */
const unratedTolerance = { led: 0.15, resistor: 0.05, coil: 0.1, filament: 0.1, battery: 0.5 } as const;

/** A lamp object of a plan as a load. */
export function lampFromSpec(spec: LampSpec, nominalVolts: number): LampLoad {
  const count = "count" in spec ? (spec.count ?? 1) : 1;
  const times = count === 1 ? "" : `${count} × `;
  switch (spec.kind) {
    case "led": {
      const kneeVolts = spec.kneeVolts ?? defaultKneeVolts;
      const name = `${times}LED ${spec.amps} A`;
      const base = {
        name,
        designVolts: spec.volts,
        tolerance: unratedTolerance.led,
        type: `led ${spec.amps}/${spec.volts}`,
      };
      return { ...base, kind: "led", amps: spec.amps * count, kneeVolts, regulated: spec.regulated ?? false };
    }
    case "filament": {
      const base = { name: `${times}filament ${spec.volts} V ${spec.amps} A`, designVolts: spec.volts };
      const type = `filament ${spec.amps}/${spec.volts}`;
      return { ...base, tolerance: unratedTolerance.filament, type, kind: "filament", amps: spec.amps * count };
    }
    case "resistor":
    case "coil": {
      const name = `${times}${spec.kind} ${spec.ohms} Ω`;
      const base = {
        name,
        designVolts: nominalVolts,
        tolerance: unratedTolerance[spec.kind],
        type: `${spec.kind} ${spec.ohms}`,
      };
      return { ...base, kind: "resistor", ohms: spec.ohms / count };
    }
    case "battery":
      return {
        name: `battery ${spec.volts} V`,
        designVolts: spec.volts,
        tolerance: unratedTolerance.battery,
        type: "battery",
        kind: "battery",
        volts: spec.volts,
        ohms: spec.ohms,
      };
  }
}

/** A bulb's filament as a load; undefined where the bulb, or that filament of it, does not exist. */
export function lampFromBulb(load: BulbLoad, nominalVolts: number, library: PartsLibrary): LampLoad | undefined {
  const bulb = findBulb(library, load.bulb, nominalVolts);
  const filament = load.filament ?? "bright";
  const rated = bulb?.[filament];
  if (bulb === undefined || rated === undefined) return undefined;
  const count = load.count ?? 1;
  const which = bulb.dim === undefined ? "" : ` ${filament}`;
  return {
    name: `${count === 1 ? "" : `${count} × `}${bulb.id}${which}`,
    designVolts: rated.volts,
    tolerance: bulb.tolerance,
    type: `bulb ${bulb.id}.${filament}`,
    kind: "filament",
    amps: rated.amps * count,
  };
}

/** The lamp of a socket at a filament position. */
export function lampOfSocket(
  socket: Socket,
  filament: FilamentName,
  nominalVolts: number,
  library: PartsLibrary,
): LampLoad | undefined {
  const count = socket.count ?? 1;
  if (socket.bulb !== undefined) return lampFromBulb({ bulb: socket.bulb, filament, count }, nominalVolts, library);
  const spec = socket.lamps?.[filament];
  if (spec === undefined) return undefined;
  if (spec.kind === "battery") return lampFromSpec(spec, nominalVolts);
  return lampFromSpec({ ...spec, count: (spec.count ?? 1) * count }, nominalVolts);
}

/** The lamp that a feed reaches, "left-rear.bright". */
export function lampOf(plan: InstallPlan, to: string, library: PartsLibrary): LampLoad | undefined {
  const [socketId, filament] = to.split(".");
  const socket = plan.sockets.find((one) => one.id === socketId);
  if (socket === undefined || (filament !== "bright" && filament !== "dim")) return undefined;
  return lampOfSocket(socket, filament, plan.nominalVolts, library);
}

/** What hangs on the factory's side of a lamp feed. */
export function factoryLoads(
  socket: Socket,
  filament: FilamentName,
  nominalVolts: number,
  library: PartsLibrary,
): LampLoad[] {
  return (socket.factory?.[filament] ?? []).flatMap((load) => {
    const lamp = "bulb" in load ? lampFromBulb(load, nominalVolts, library) : lampFromSpec(load, nominalVolts);
    return lamp === undefined ? [] : [lamp];
  });
}

/** A load as a part between two nodes. */
export function lampPart(load: LampLoad, id: string, from: string, to: string, celsius: number): Part {
  switch (load.kind) {
    case "filament":
      return {
        kind: "filament",
        id,
        a: from,
        b: to,
        model: { designVolts: load.designVolts, designAmps: load.amps },
        celsius,
      };
    case "led": {
      const { amps, kneeVolts, regulated } = load;
      return {
        kind: "led",
        id,
        anode: from,
        cathode: to,
        model: { amps, volts: load.designVolts, kneeVolts, regulated },
      };
    }
    case "resistor":
      return { kind: "resistor", id, a: from, b: to, ohms: load.ohms };
    case "battery":
      return { kind: "source", id, plus: from, minus: to, volts: load.volts, ohms: load.ohms };
  }
}

/** The diode model of a feed's isolation; undefined where there is none. */
export function isolationModel(isolation: Isolation, library: PartsLibrary): DiodeModel | undefined {
  if (typeof isolation !== "string") return { ...isolation.diode, nominalCelsius: 25 };
  return isolation === "none" ? undefined : findDiode(library, isolation)?.model;
}
