import type { z } from "zod";
import type { Connector } from "./connectors/connector.js";
import { connectorFor, connectors } from "./connectors.js";
import { issueWords, strangeKeyWords } from "./issue-words.js";
import { lampOf } from "./lamp-load.js";
import { defaultLibrary, findBulb, findDiode, findWire, type PartsLibrary } from "./parts/parts-library.js";
import {
  type CablePlan,
  type ConnectorChoice,
  type InstallPlan,
  type Plan,
  planSchema,
  type WireRun,
} from "./plan-schema.js";

/** Where something is wrong (`circuits[0].wire.awg`), and what, for people. */
export interface PlanProblem {
  readonly path: string;
  readonly message: string;
}

export type ParsedPlan =
  | { readonly ok: true; readonly plan: Plan }
  | { readonly ok: false; readonly problems: PlanProblem[] };

/** Reads a plan, or lists everything that is wrong with it. Never throws. */
export function parsePlan(json: unknown, library: PartsLibrary = defaultLibrary): ParsedPlan {
  const parsed = planSchema.safeParse(json, { error: issueWords });
  if (!parsed.success)
    return { ok: false, problems: parsed.error.issues.flatMap((issue) => schemaProblems(issue, [])) };
  const plan = parsed.data;
  const problems = plan.kind === "install" ? installProblems(plan, library) : cableProblems(plan, library);
  return problems.length === 0 ? { ok: true, plan } : { ok: false, problems };
}

/** `["circuits", 0, "wire"]` → `circuits[0].wire`. */
export function pathText(path: readonly PropertyKey[]): string {
  return path
    .map((step, at) => (typeof step === "number" ? `[${step}]` : `${at === 0 ? "" : "."}${String(step)}`))
    .join("");
}

function schemaProblems(issue: z.core.$ZodIssue, above: readonly PropertyKey[]): PlanProblem[] {
  const path = [...above, ...issue.path];
  if (issue.code === "unrecognized_keys") {
    return issue.keys.map((key) => ({ path: pathText([...path, key]), message: `${strangeKeyWords}"${key}"` }));
  }
  if (issue.code === "invalid_union" && issue.errors.length > 0) {
    // Of the alternatives, the one that got furthest says best what was meant.
    const depth = (issues: readonly z.core.$ZodIssue[]): number =>
      Math.max(...issues.map((one) => one.path.length * 2 + (one.code === "unrecognized_keys" ? 1 : 0)));
    const strangers = (issues: readonly z.core.$ZodIssue[]): number =>
      issues.filter((one) => one.code === "unrecognized_keys").length;
    const nearest = [...issue.errors].sort((a, b) => depth(b) - depth(a) || strangers(a) - strangers(b));
    const best = nearest[0] ?? [];
    return best.flatMap((one) => schemaProblems(one, path));
  }
  return [{ path: pathText(path), message: issue.message }];
}

function installProblems(plan: InstallPlan, library: PartsLibrary): PlanProblem[] {
  const problems: PlanProblem[] = [];
  const say = (path: string, message: string): void => {
    problems.push({ path, message });
  };
  const connector = readConnector(plan.connector, "connector", say);
  const known = (pin: string, path: string): void => readPin(connector, pin, path, say);
  known(plan.ground.pin, "ground.pin");
  readWire(library, plan.ground.wire, "ground.wire", say);

  const sockets = new Map(plan.sockets.map((socket) => [socket.id, socket]));
  plan.sockets.forEach((socket, at) => {
    const path = `sockets[${at}]`;
    if (sockets.get(socket.id) !== socket) say(`${path}.id`, `two sockets are called "${socket.id}"`);
    if (socket.bulb !== undefined) readBulb(library, socket.bulb, plan.nominalVolts, `${path}.bulb`, say);
    for (const filament of ["bright", "dim"] as const) {
      (socket.factory?.[filament] ?? []).forEach((load, index) => {
        if (!("bulb" in load)) return;
        const where = `${path}.factory.${filament}[${index}]`;
        const bulb = readBulb(library, load.bulb, plan.nominalVolts, `${where}.bulb`, say);
        if (bulb !== undefined && load.filament === "dim" && bulb.dim === undefined) {
          say(`${where}.filament`, `bulb ${load.bulb} has no dim filament`);
        }
      });
    }
  });

  const pins = new Map<string, string>([[plan.ground.pin, "ground.pin"]]);
  plan.circuits.forEach((circuit, at) => {
    const path = `circuits[${at}]`;
    known(circuit.pin, `${path}.pin`);
    const before = pins.get(circuit.pin);
    if (before !== undefined) say(`${path}.pin`, `pin ${circuit.pin} is named twice (before at ${before})`);
    else pins.set(circuit.pin, `${path}.pin`);
    if (circuit.function === "ground")
      say(`${path}.function`, 'a circuit cannot be ground; the return is the plan\'s "ground"');
    readWire(library, circuit.wire, `${path}.wire`, say);
    const reached = new Set<string>();
    circuit.feeds.forEach((feed, index) => {
      const where = `${path}.feeds[${index}]`;
      const [socketId = "", filament = ""] = feed.to.split(".");
      const socket = sockets.get(socketId);
      if (socket === undefined)
        say(`${where}.to`, `no socket "${socketId}" in this plan (there are: ${listed([...sockets.keys()])})`);
      else if (socket.bulb === undefined || findBulb(library, socket.bulb, plan.nominalVolts) !== undefined) {
        if (lampOf(plan, feed.to, library) === undefined)
          say(`${where}.to`, `socket "${socketId}" has no ${filament} lamp`);
      }
      if (reached.has(feed.to)) say(`${where}.to`, `pin ${circuit.pin} feeds ${feed.to} twice`);
      reached.add(feed.to);
      if (
        typeof feed.isolation === "string" &&
        feed.isolation !== "none" &&
        findDiode(library, feed.isolation) === undefined
      ) {
        const names = listed(["none", ...library.diodes.map((diode) => diode.id)]);
        say(`${where}.isolation`, `no diode "${feed.isolation}" in the parts library (there are: ${names})`);
      }
      if (feed.wire !== undefined) readWire(library, feed.wire, `${where}.wire`, say);
    });
  });
  readSenseOnly(plan.senseOnly, plan.ground.pin, known, say);
  return problems;
}

function cableProblems(plan: CablePlan, library: PartsLibrary): PlanProblem[] {
  const problems: PlanProblem[] = [];
  const say = (path: string, message: string): void => {
    problems.push({ path, message });
  };
  const near = readConnector(plan.near, "near", say);
  const far = readConnector(plan.far, "far", say);
  const seen = { near: new Map<string, string>(), far: new Map<string, string>() };
  plan.conductors.forEach((conductor, at) => {
    for (const end of ["near", "far"] as const) {
      const path = `conductors[${at}].${end}`;
      readPin(end === "near" ? near : far, conductor[end], path, say);
      const before = seen[end].get(conductor[end]);
      if (before !== undefined) say(path, `${end} pin ${conductor[end]} is named twice (before at ${before})`);
      else seen[end].set(conductor[end], path);
    }
    readWire(library, conductor.wire, `conductors[${at}].wire`, say);
  });
  const ground = near?.pins.find((pin) => pin.function === "ground")?.pin;
  if (near !== undefined && ground === undefined)
    say("near", "the near connector has no ground pin, so nothing can be measured");
  readSenseOnly(plan.senseOnly, ground, (pin, path) => readPin(near, pin, path, say), say);
  return problems;
}

type Say = (path: string, message: string) => void;

const listed = (names: readonly string[]): string => (names.length === 0 ? "none" : names.join(", "));

function readConnector(choice: ConnectorChoice, path: string, say: Say): Connector | undefined {
  const connector = connectorFor(choice);
  if (connector === undefined) {
    say(path, `no connector "${String(choice)}" (there are: ${listed(connectors.map((one) => one.id))})`);
  }
  const names = new Set<string>();
  for (const { pin } of connector?.pins ?? []) {
    if (names.has(pin)) say(path, `the connector has pin ${pin} twice`);
    names.add(pin);
  }
  return connector;
}

function readPin(connector: Connector | undefined, pin: string, path: string, say: Say): void {
  if (connector === undefined || connector.pins.some((one) => one.pin === pin)) return;
  say(path, `connector ${connector.id} has no pin ${pin} (there are: ${listed(connector.pins.map((one) => one.pin))})`);
}

function readWire(library: PartsLibrary, run: WireRun, path: string, say: Say): void {
  for (const system of ["awg", "sae", "mm2"] as const) {
    const size = run[system];
    if (size === undefined || findWire(library, system, size) !== undefined) continue;
    const sizes = library.wires.filter((wire) => wire.system === system).map((wire) => String(wire.size));
    say(`${path}.${system}`, `no ${system} size ${size} in the parts library (there are: ${listed(sizes)})`);
  }
}

function readBulb(library: PartsLibrary, id: string, nominalVolts: number, path: string, say: Say) {
  const bulb = findBulb(library, id, nominalVolts);
  if (bulb === undefined) {
    const names = [...new Set(library.bulbs.map((one) => one.id))];
    say(path, `no bulb "${id}" in the parts library (there are: ${listed(names)})`);
  }
  return bulb;
}

function readSenseOnly(
  pins: readonly string[] | undefined,
  ground: string | undefined,
  known: (pin: string, path: string) => void,
  say: Say,
): void {
  (pins ?? []).forEach((pin, at) => {
    known(pin, `senseOnly[${at}]`);
    if (pin === ground) say(`senseOnly[${at}]`, `pin ${pin} is the ground pin`);
    if (pins?.indexOf(pin) !== at) say(`senseOnly[${at}]`, `pin ${pin} is named twice`);
  });
}
