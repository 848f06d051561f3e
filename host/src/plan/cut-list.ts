import { wireName } from "./check/wire-current.js";
import { defaultLibrary, findDiode, type PartsLibrary } from "./parts/parts-library.js";
import type { Plan, WireRun } from "./plan-schema.js";

/** All pieces of one gauge and colour. Lengths in metres, allowance included. */
export interface WireCut {
  readonly wire: string;
  readonly colour: string;
  readonly metres: number;
  readonly pieces: readonly { readonly where: string; readonly metres: number }[];
}

export interface CountedPart {
  readonly part: string;
  readonly count: number;
}

export interface CutList {
  /** Extra length of each piece for routing and two crimps, metres and share (common practice, no source). */
  readonly allowance: { readonly metres: number; readonly share: number };
  readonly wires: readonly WireCut[];
  readonly terminals: readonly CountedPart[];
  readonly diodes: readonly CountedPart[];
}

const defaultAllowance = { metres: 0.15, share: 0.05 } as const;

/** What to get from the shelf for a plan: wire by gauge and colour, terminals, diodes. */
export function cutList(
  plan: Plan,
  allowance: CutList["allowance"] = defaultAllowance,
  library: PartsLibrary = defaultLibrary,
): CutList {
  const pieces = plan.kind === "install" ? installPieces(plan) : cablePieces(plan);
  const wires = new Map<string, { wire: string; colour: string; pieces: { where: string; metres: number }[] }>();
  for (const { where, run } of pieces) {
    if (run.metres === 0) continue;
    const wire = wireName(run);
    const colour = run.colour ?? "any colour";
    const key = `${wire} ${colour}`;
    const group = wires.get(key) ?? { wire, colour, pieces: [] };
    group.pieces.push({ where, metres: roundUp(run.metres * (1 + allowance.share) + allowance.metres) });
    wires.set(key, group);
  }
  return {
    allowance,
    wires: [...wires.values()].map((group) => ({
      ...group,
      metres: roundUp(group.pieces.reduce((sum, piece) => sum + piece.metres, 0)),
    })),
    terminals: plan.kind === "install" ? installTerminals(plan) : cableTerminals(plan),
    diodes: plan.kind === "install" ? isolationDiodes(plan, library) : [],
  };
}

/** Up to the next centimetre. */
function roundUp(metres: number): number {
  return Math.ceil(Math.round(metres * 1e6) / 1e4) / 100;
}

type Install = Extract<Plan, { kind: "install" }>;
type Cable = Extract<Plan, { kind: "cable" }>;

function installPieces(plan: Install): { where: string; run: WireRun }[] {
  return [
    ...plan.circuits.flatMap((circuit) => [
      { where: `wire:${circuit.pin}`, run: circuit.wire },
      ...circuit.feeds.flatMap((feed) =>
        feed.wire === undefined ? [] : [{ where: `feed:${circuit.pin}/${feed.to}`, run: feed.wire }],
      ),
    ]),
    { where: `wire:${plan.ground.pin}`, run: plan.ground.wire },
  ];
}

function cablePieces(plan: Cable): { where: string; run: WireRun }[] {
  return plan.conductors.map((conductor) => ({ where: `wire:${conductor.near}`, run: conductor.wire }));
}

function counted(parts: readonly string[]): CountedPart[] {
  const counts = new Map<string, number>();
  for (const part of parts) counts.set(part, (counts.get(part) ?? 0) + 1);
  return [...counts].map(([part, count]) => ({ part, count }));
}

function connectorTerminal(connector: Install["connector"], run: WireRun): string {
  return `terminal for connector ${typeof connector === "string" ? connector : connector.id}, ${wireName(run)}`;
}

/** A terminal in the connector per pin, a splice per further feed and per way into a lamp's wire, a ring at the ground. */
function installTerminals(plan: Install): CountedPart[] {
  const parts = [
    ...plan.circuits.map((circuit) => connectorTerminal(plan.connector, circuit.wire)),
    connectorTerminal(plan.connector, plan.ground.wire),
    `ring terminal, ${wireName(plan.ground.wire)}`,
  ];
  for (const circuit of plan.circuits) {
    for (let at = 1; at < circuit.feeds.length; at++) parts.push(`splice, ${wireName(circuit.wire)}`);
    for (const feed of circuit.feeds) parts.push(`splice into the lamp's wire, ${wireName(feed.wire ?? circuit.wire)}`);
  }
  return counted(parts);
}

function cableTerminals(plan: Cable): CountedPart[] {
  return counted(
    plan.conductors.flatMap(({ wire }) => [connectorTerminal(plan.near, wire), connectorTerminal(plan.far, wire)]),
  );
}

/** One diode towards the tow vehicle per feed, and one of the same kind towards the factory's feed per lamp. */
function isolationDiodes(plan: Install, library: PartsLibrary): CountedPart[] {
  const name = (isolation: string | object): string =>
    typeof isolation === "string"
      ? (findDiode(library, isolation)?.name ?? isolation)
      : "diode with the plan's own model";
  const factorySide = new Map<string, string>();
  const towSide = plan.circuits.flatMap((circuit) =>
    circuit.feeds.flatMap((feed) => {
      if (feed.isolation === "none") return [];
      if (!factorySide.has(feed.to)) factorySide.set(feed.to, name(feed.isolation));
      return [name(feed.isolation)];
    }),
  );
  return counted([...towSide, ...factorySide.values()]);
}
