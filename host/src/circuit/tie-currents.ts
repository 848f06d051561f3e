import type { Branch } from "./branch.js";
import type { Topology } from "./topology.js";

/**
 * Currents of the parts without resistance. They tie nodes into trees; what flows through a tie is what all other parts
 * draw out of the nodes on its far side.
 */
export class TieCurrents {
  private readonly drawn: ReadonlyMap<number, readonly { part: number; sign: number }[]>;

  constructor(topology: Topology) {
    const ties = [...topology.isTie.keys()].filter((part) => topology.isTie[part] === true);
    this.drawn = new Map(ties.map((tie) => [tie, partsBehind(topology, ties, tie)]));
  }

  /** Amps through a tie, first node to second. */
  amps(tie: number, branches: readonly Branch[]): number {
    let sum = 0;
    for (const { part, sign } of this.drawn.get(tie) ?? []) sum += sign * (branches[part]?.amps ?? 0);
    return sum;
  }
}

/** The parts that touch the side of a tie without the reference, with the sign that makes their sum the tie's current. */
function partsBehind(topology: Topology, ties: readonly number[], tie: number): { part: number; sign: number }[] {
  const pair = topology.ends[tie];
  if (pair === undefined) return [];
  const side = nodesBehind(topology, ties, tie, pair[1]);
  // The reference takes up whatever is left, so its side must not be summed.
  const away = side.has(topology.reference) ? nodesBehind(topology, ties, tie, pair[0]) : side;
  const towards = away === side ? 1 : -1;
  const parts: { part: number; sign: number }[] = [];
  topology.ends.forEach(([a, b], part) => {
    if (topology.isTie[part] === true || away.has(a) === away.has(b)) return;
    parts.push({ part, sign: away.has(a) ? towards : -towards });
  });
  return parts;
}

function nodesBehind(topology: Topology, ties: readonly number[], without: number, start: number): Set<number> {
  const found = new Set([start]);
  for (let grew = true; grew; ) {
    grew = false;
    for (const tie of ties) {
      const pair = topology.ends[tie];
      if (tie === without || pair === undefined || found.has(pair[0]) === found.has(pair[1])) continue;
      found.add(pair[0]).add(pair[1]);
      grew = true;
    }
  }
  return found;
}
