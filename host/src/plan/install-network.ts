import type { Part } from "../circuit/network.js";
import { connectorOf } from "./connectors.js";
import { splitInstead } from "./fault.js";
import { type FaultSet, foreignVoltsPerNominal, shortedDiodeOhms } from "./fault-set.js";
import { healthyOhms, leastOhms } from "./healthy-ohms.js";
import { factoryLoads, isolationModel, type LampLoad, lampFromBulb, lampOfSocket, lampPart } from "./lamp-load.js";
import type { FilamentName } from "./parts/bulb.js";
import type { PartsLibrary } from "./parts/parts-library.js";
import type { PlanLamp } from "./plan-lamp.js";
import type { Circuit, Feed, InstallPlan, Isolation, Socket } from "./plan-schema.js";
import { middleOf, runOhms, wireParts } from "./wire-part.js";

/**
 * Pin — contact — trunk — junction — for each feed: branch wire — diode — lamp feed — filament — socket ground —
 * chassis — ground bond — ground wire — contact — ground pin; the chain of the plan format.
 */
export function installNetwork(
  plan: InstallPlan,
  faults: FaultSet,
  ambientC: number,
  library: PartsLibrary,
): { parts: Part[]; lamps: PlanLamp[] } {
  const parts: Part[] = [];
  for (const circuit of plan.circuits) parts.push(...circuitParts(plan, circuit, faults, ambientC, library));
  parts.push(...emptyCavityParts(plan, faults));
  const lamps: PlanLamp[] = [];
  for (const socket of plan.sockets) {
    let used = false;
    for (const filament of ["bright", "dim"] as const) {
      const made = lampParts(plan, socket, filament, faults, ambientC, library);
      if (made === undefined) continue;
      parts.push(...made.parts);
      lamps.push(made.lamp);
      used = true;
    }
    const place = `socket-ground:${socket.id}`;
    const ohms = Math.max(socket.groundOhms ?? healthyOhms.socketGround, leastOhms) + faults.seriesOhms(place);
    if (used) parts.push({ kind: "resistor", id: place, a: `socket:${socket.id}`, b: "chassis", ohms });
  }
  parts.push(...groundParts(plan, faults, ambientC, library), ...bridgeParts(faults));
  return { parts, lamps };
}

function contactPart(plan: InstallPlan, pin: string, ohms: number | undefined, faults: FaultSet): Part {
  const healthy = Math.max(ohms ?? plan.contactOhms ?? healthyOhms.contact, leastOhms);
  const at = `pin:${pin}`;
  const terminal = `terminal:${faults.wireOn("pin", pin)}`;
  return { kind: "resistor", id: `contact:${pin}`, a: at, b: terminal, ohms: healthy + faults.seriesOhms(at) };
}

/** Contacts of pins without a circuit on whose terminal a swapped wire stands. */
function emptyCavityParts(plan: InstallPlan, faults: FaultSet): Part[] {
  const wired = [plan.ground.pin, ...plan.circuits.map((circuit) => circuit.pin)];
  return connectorOf(plan).pins.flatMap(({ pin }) =>
    wired.includes(pin) || faults.wireOn("pin", pin) === pin ? [] : [contactPart(plan, pin, undefined, faults)],
  );
}

function circuitParts(
  plan: InstallPlan,
  circuit: Circuit,
  faults: FaultSet,
  ambientC: number,
  library: PartsLibrary,
): Part[] {
  const { pin } = circuit;
  const junction = `junction:${pin}`;
  const wireId = `wire:${pin}`;
  const parts: Part[] = [
    contactPart(plan, pin, circuit.contactOhms, faults),
    ...wireParts(wireId, `terminal:${pin}`, junction, runOhms(circuit.wire, library, ambientC), faults),
  ];
  const shortOhms = faults.ohmsOf("short-to-ground", wireId);
  if (shortOhms !== undefined) {
    parts.push({ kind: "resistor", id: `short:${wireId}`, a: middleOf(wireId), b: "chassis", ohms: shortOhms });
  }
  const foreignOhms = faults.ohmsOf("short-to-power", `pin:${pin}`);
  if (foreignOhms !== undefined) {
    const volts = plan.nominalVolts * foreignVoltsPerNominal;
    parts.push({
      kind: "source",
      id: `foreign:${pin}`,
      plus: `pin:${pin}`,
      minus: "chassis",
      volts,
      ohms: foreignOhms,
    });
  }
  for (const feed of circuit.feeds) parts.push(...feedParts(pin, feed, faults, ambientC, library));
  return parts;
}

function feedParts(pin: string, feed: Feed, faults: FaultSet, ambientC: number, library: PartsLibrary): Part[] {
  const place = `feed:${pin}/${feed.to}`;
  const lampFeed = `lamp-feed:${feed.to}`;
  const branchOhms =
    (feed.wire === undefined ? leastOhms : runOhms(feed.wire, library, ambientC)) + faults.seriesOhms(place);
  const model = isolationModel(feed.isolation, library);
  const anode = model === undefined ? lampFeed : `anode:${pin}/${feed.to}`;
  const parts: Part[] = [{ kind: "resistor", id: place, a: `junction:${pin}`, b: anode, ohms: branchOhms }];
  if (model === undefined) return parts;
  const id = `diode:${pin}/${feed.to}`;
  if (faults.has("diode-shorted", place)) {
    parts.push({ kind: "resistor", id, a: anode, b: lampFeed, ohms: shortedDiodeOhms });
  } else if (faults.has("diode-reversed", place)) {
    parts.push({ kind: "diode", id, anode: lampFeed, cathode: anode, model, celsius: ambientC });
  } else {
    parts.push({ kind: "diode", id, anode, cathode: lampFeed, model, celsius: ambientC });
  }
  return parts;
}

/** The isolation that the factory's side of a lamp feed got: that of the first isolated tow feed. */
function factoryIsolation(plan: InstallPlan, to: string): { fed: boolean; isolation: Isolation; functions: string[] } {
  const feeds = plan.circuits.flatMap((circuit) =>
    circuit.feeds.filter((feed) => feed.to === to).map((feed) => ({ feed, function: circuit.function })),
  );
  const isolated = feeds.find(({ feed }) => feed.isolation !== "none");
  return {
    fed: feeds.length > 0,
    isolation: isolated?.feed.isolation ?? "none",
    functions: feeds.map((one) => one.function),
  };
}

function lampParts(
  plan: InstallPlan,
  socket: Socket,
  filament: FilamentName,
  faults: FaultSet,
  ambientC: number,
  library: PartsLibrary,
): { parts: Part[]; lamp: PlanLamp } | undefined {
  const id = `${socket.id}.${filament}`;
  const load = lampOfSocket(socket, filament, plan.nominalVolts, library);
  const factory = factoryLoads(socket, filament, plan.nominalVolts, library);
  const { fed, isolation, functions } = factoryIsolation(plan, id);
  // A lamp that no pin feeds matters only as a way round through the socket into the factory's other loads.
  if (load === undefined || (!fed && factory.length === 0)) return undefined;
  const feedNode = `lamp-feed:${id}`;
  const returnNode = `socket:${socket.id}`;
  const model = isolationModel(isolation, library);
  const factoryNode = model === undefined ? feedNode : `factory:${id}`;
  const parts: Part[] = [];
  if (model !== undefined) {
    parts.push(
      faults.has("factory-diode-shorted", feedNode)
        ? { kind: "resistor", id: `factory-diode:${id}`, a: factoryNode, b: feedNode, ohms: shortedDiodeOhms }
        : { kind: "diode", id: `factory-diode:${id}`, anode: factoryNode, cathode: feedNode, model, celsius: ambientC },
    );
  }
  factory.forEach((one, at) => {
    parts.push(lampPart(one, `factory-load:${id}/${at}`, factoryNode, "chassis", ambientC));
  });
  const there = lampThere(load, faults.insteadAt(`lamp:${id}`), filament, plan.nominalVolts, library);
  const dark = faults.has("open", `lamp:${id}`);
  const partId = `lamp:${id}`;
  parts.push(
    dark
      ? { kind: "resistor", id: partId, a: feedNode, b: returnNode, ohms: faults.seriesOhms(partId) }
      : lampPart(there, partId, feedNode, returnNode, ambientC),
  );
  const shortOhms = faults.ohmsOf("short-to-ground", feedNode);
  if (shortOhms !== undefined) {
    parts.push({ kind: "resistor", id: `short:${feedNode}`, a: feedNode, b: "chassis", ohms: shortOhms });
  }
  return { parts, lamp: { id, load, feedNode, returnNode, partIds: [partId], factoryNode, functions } };
}

function lampThere(
  planned: LampLoad,
  instead: string | undefined,
  filament: FilamentName,
  nominalVolts: number,
  library: PartsLibrary,
): LampLoad {
  if (instead === undefined) return planned;
  const [bulb, named] = splitInstead(instead);
  return (
    lampFromBulb({ bulb, filament: named ?? filament }, nominalVolts, library) ??
    lampFromBulb({ bulb }, nominalVolts, library) ??
    planned
  );
}

function groundParts(plan: InstallPlan, faults: FaultSet, ambientC: number, library: PartsLibrary): Part[] {
  const { pin, wire, contactOhms, bondOhms } = plan.ground;
  const bond = Math.max(bondOhms ?? healthyOhms.groundBond, leastOhms) + faults.seriesOhms("ground-bond");
  return [
    { kind: "resistor", id: "ground-bond", a: "chassis", b: "ground-stud", ohms: bond },
    ...wireParts(`wire:${pin}`, `terminal:${pin}`, "ground-stud", runOhms(wire, library, ambientC), faults),
    contactPart(plan, pin, contactOhms, faults),
  ];
}

function bridgeParts(faults: FaultSet): Part[] {
  return faults.bridges().map(({ first, second, ohms, at }) => {
    const a = first.startsWith("wire:") ? middleOf(first) : first;
    const b = second.startsWith("wire:") ? middleOf(second) : second;
    return { kind: "resistor", id: `bridge:${at}`, a, b, ohms };
  });
}
