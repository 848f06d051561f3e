import { connectorOf, farConnectorOf } from "./connectors.js";
import { defaultLibrary, findBulb, type PartsLibrary } from "./parts/parts-library.js";
import type { Plan } from "./plan-schema.js";

export const faultKinds = [
  "open",
  "high-resistance",
  "short-to-ground",
  "short-to-power",
  "bridge",
  "swap",
  "diode-shorted",
  "factory-diode-shorted",
  "diode-reversed",
  "wrong-lamp",
] as const;

export type FaultKind = (typeof faultKinds)[number];

/** One thing that is wrong, as the findings format names it. `ohms` where the kind has a size, `instead` for a wrong lamp. */
export interface Fault {
  readonly kind: FaultKind;
  readonly at: string;
  readonly ohms?: number;
  readonly instead?: string;
}

/** Ohms of a fault that does not say: a corroded contact, a pinched wire, a stray strand, a supply's lead. */
export const defaultFaultOhms = {
  "high-resistance": 1.5,
  "short-to-ground": 0.05,
  "short-to-power": 0.1,
  bridge: 0.05,
} as const satisfies Partial<Record<FaultKind, number>>;

export type ReadFault = { readonly ok: true; readonly fault: Fault } | { readonly ok: false; readonly message: string };

/** Reads `KIND@PLACE[=OHMS]`, or `wrong-lamp@PLACE=BULB`. Joint places are put in alphabetical order. */
export function parseFault(text: string): ReadFault {
  const match = /^([a-z-]+)@([^=]+)(?:=(.+))?$/.exec(text.trim());
  const wrong = (message: string): ReadFault => ({ ok: false, message: `"${text}": ${message}` });
  if (match === null) return wrong("a fault is written KIND@PLACE or KIND@PLACE=OHMS");
  const kind = faultKinds.find((one) => one === match[1]);
  if (kind === undefined) return wrong(`no fault kind "${match[1]}" (there are: ${faultKinds.join(", ")})`);
  const at = (match[2] ?? "").split("+").sort().join("+");
  const size = match[3];
  if (kind === "wrong-lamp") {
    return size === undefined
      ? wrong("a wrong lamp says which: wrong-lamp@lamp:SOCKET.FILAMENT=BULB")
      : { ok: true, fault: { kind, at, instead: size } };
  }
  if (size === undefined) return { ok: true, fault: { kind, at } };
  if (!(kind in defaultFaultOhms)) return wrong(`${kind} has no ohms`);
  const ohms = Number(size);
  if (!(ohms >= 0 && ohms <= 1e6)) return wrong(`"${size}" is not a resistance in ohms`);
  return { ok: true, fault: { kind, at, ohms } };
}

/** `KIND@PLACE[=OHMS]`, the text that `parseFault` reads back. */
export function faultText(fault: Fault): string {
  const size = fault.instead ?? fault.ohms;
  return `${fault.kind}@${fault.at}${size === undefined ? "" : `=${size}`}`;
}

/** Every place of a plan at which a kind can be. Joint places are in alphabetical order, each pair once. */
export function placesOf(kind: FaultKind, plan: Plan): string[] {
  const known = placesByPlan.get(plan);
  const places = known ?? (plan.kind === "install" ? installPlaces(plan) : cablePlaces(plan));
  if (known === undefined) placesByPlan.set(plan, places);
  return [...new Set(places[kind])];
}

/** A diagnosis asks for the same plan's places hundreds of times; plans do not change. */
const placesByPlan = new WeakMap<Plan, Places>();

/** Every kind at every place of a plan, once; `wrong-lamp` once per lamp and without `instead`. */
export function faultPlaces(plan: Plan): Fault[] {
  return faultKinds.flatMap((kind) => placesOf(kind, plan).map((at): Fault => ({ kind, at })));
}

/** What is wrong with putting a fault into a plan, or undefined. */
export function faultProblem(fault: Fault, plan: Plan, library: PartsLibrary = defaultLibrary): string | undefined {
  const places = [...placesOf(fault.kind, plan), ...emptyCavitySwaps(fault.kind, plan)];
  if (!places.includes(fault.at)) {
    const known = placesOf(fault.kind, plan);
    const there = known.length === 0 ? `no place for ${fault.kind}` : `${fault.kind} at: ${known.join(", ")}`;
    return `this plan has no "${fault.at}" for ${fault.kind}; it has ${there}`;
  }
  if (fault.kind === "wrong-lamp" && fault.instead !== undefined) {
    const [id, filament] = splitInstead(fault.instead);
    const bulb = findBulb(library, id, plan.nominalVolts);
    if (bulb === undefined) return `no bulb "${id}" in the parts library`;
    if (filament === "dim" && bulb.dim === undefined) return `bulb ${id} has no dim filament`;
  }
  return undefined;
}

/** `1157.dim` → bulb and filament; a bulb alone means its bright filament. */
export function splitInstead(instead: string): [bulb: string, filament: "bright" | "dim" | undefined] {
  const match = /^(.+)\.(bright|dim)$/.exec(instead);
  if (match === null) return [instead, undefined];
  return [match[1] ?? instead, match[2] === "dim" ? "dim" : "bright"];
}

type Places = Readonly<Record<FaultKind, readonly string[]>>;

const pairsOf = (names: readonly string[]): string[] => {
  const sorted = [...new Set(names)].sort();
  return sorted.flatMap((first, at) => sorted.slice(at + 1).map((second) => `${first}+${second}`));
};

function installPlaces(plan: Extract<Plan, { kind: "install" }>): Places {
  const pins = plan.circuits.map((circuit) => `pin:${circuit.pin}`);
  const wires = plan.circuits.map((circuit) => `wire:${circuit.pin}`);
  const feeds = plan.circuits.flatMap((circuit) => circuit.feeds.map((feed) => ({ pin: circuit.pin, feed })));
  const feedPlace = ({ pin, feed }: (typeof feeds)[number]): string => `feed:${pin}/${feed.to}`;
  const isolated = feeds.filter(({ feed }) => feed.isolation !== "none");
  const lampFeeds = feeds.map(({ feed }) => `lamp-feed:${feed.to}`);
  const lamps = feeds.map(({ feed }) => `lamp:${feed.to}`);
  const sockets = feeds.map(({ feed }) => `socket-ground:${feed.to.split(".")[0]}`);
  const ground = [`pin:${plan.ground.pin}`, `wire:${plan.ground.pin}`, "ground-bond"];
  const series = [...pins, ...wires, ...feeds.map(feedPlace), ...sockets, ...ground];
  return {
    open: [...series, ...lamps],
    "high-resistance": series,
    "short-to-ground": [...wires, ...lampFeeds],
    "short-to-power": pins,
    bridge: [...pairsOf(wires), ...pairsOf(lampFeeds)],
    swap: pairsOf([...pins, `pin:${plan.ground.pin}`]),
    "diode-shorted": isolated.map(feedPlace),
    "factory-diode-shorted": isolated.map(({ feed }) => `lamp-feed:${feed.to}`),
    "diode-reversed": isolated.map(feedPlace),
    "wrong-lamp": lamps,
  };
}

function cablePlaces(plan: Extract<Plan, { kind: "cable" }>): Places {
  const ground = connectorOf(plan).pins.find((pin) => pin.function === "ground")?.pin;
  const near = plan.conductors.map((conductor) => `pin:${conductor.near}`);
  const far = plan.conductors.map((conductor) => `far:${conductor.far}`);
  const wires = plan.conductors.map((conductor) => `wire:${conductor.near}`);
  const live = plan.conductors.filter((conductor) => conductor.near !== ground);
  const series = [...near, ...wires, ...far];
  return {
    open: series,
    "high-resistance": series,
    "short-to-ground": live.map((conductor) => `wire:${conductor.near}`),
    "short-to-power": live.map((conductor) => `pin:${conductor.near}`),
    bridge: pairsOf(live.map((conductor) => `wire:${conductor.near}`)),
    swap: [...pairsOf(near), ...pairsOf(far)],
    "diode-shorted": [],
    "factory-diode-shorted": [],
    "diode-reversed": [],
    "wrong-lamp": [],
  };
}

/** A wire that stands in an empty cavity is a swap with nothing; allowed, but not among the usual suspects. */
function emptyCavitySwaps(kind: FaultKind, plan: Plan): string[] {
  if (kind !== "swap") return [];
  const near = pairsOf(connectorOf(plan).pins.map((pin) => `pin:${pin.pin}`));
  return [...near, ...pairsOf((farConnectorOf(plan)?.pins ?? []).map((pin) => `far:${pin.pin}`))];
}
