import type { Network, NetworkProblem, Part } from "./network.js";
import { kindOf } from "./part-kinds.js";

/**
 * What hangs together. Nodes that ideal sources or 0 Ω joints tie rigidly form one unknown: `unknown[node]` names it
 * (−1 for the reference's own) and `offsetVolts[node]` says how far the node lies above it.
 */
export interface Topology {
  readonly nodes: readonly string[];
  readonly nodeIndex: ReadonlyMap<string, number>;
  readonly ends: readonly (readonly [number, number])[];
  readonly isTie: readonly boolean[];
  readonly unknown: Int32Array;
  readonly offsetVolts: Float64Array;
  readonly unknowns: number;
  /** Index of the reference node. */
  readonly reference: number;
}

/** Numbers nodes and unknowns, or says by name why the network cannot be solved. */
export function readTopology(network: Network): { topology: Topology } | { problems: readonly NetworkProblem[] } {
  const problems: NetworkProblem[] = valueProblems(network.parts);
  const nodeIndex = new Map<string, number>();
  const indexOf = (node: string): number => {
    const known = nodeIndex.get(node);
    if (known !== undefined) return known;
    nodeIndex.set(node, nodeIndex.size);
    return nodeIndex.size - 1;
  };
  const ends = network.parts.map((part) => {
    const [first, second] = kindOf(part).nodes(part);
    return [indexOf(first), indexOf(second)] as const;
  });
  const reference = nodeIndex.get(network.reference);
  if (reference === undefined) {
    const text = `no part touches the reference node "${network.reference}"`;
    return { problems: [...problems, { code: "no-reference", node: network.reference, text }] };
  }
  const nodes = [...nodeIndex.keys()];
  const tieVolts = network.parts.map((part) => kindOf(part).tieVolts?.(part));
  const tied = tieTogether(network.parts, ends, tieVolts, nodes.length);
  problems.push(...tied.problems, ...floatingProblems(network.parts, ends, nodes, reference));
  if (problems.length > 0) return { problems };

  const unknown = new Int32Array(nodes.length).fill(-1);
  const offsetVolts = new Float64Array(nodes.length);
  const [referenceRoot, referenceOffset] = tied.rootOf(reference);
  const numbered = new Map<number, number>([[referenceRoot, -1]]);
  for (let node = 0; node < nodes.length; node++) {
    const [root, offset] = tied.rootOf(node);
    if (!numbered.has(root)) numbered.set(root, numbered.size - 1);
    unknown[node] = numbered.get(root) ?? -1;
    offsetVolts[node] = root === referenceRoot ? offset - referenceOffset : offset;
  }
  const isTie = tieVolts.map((volts) => volts !== undefined);
  return { topology: { nodes, nodeIndex, ends, isTie, unknown, offsetVolts, unknowns: numbered.size - 1, reference } };
}

function valueProblems(parts: readonly Part[]): NetworkProblem[] {
  const problems: NetworkProblem[] = [];
  const seen = new Set<string>();
  for (const part of parts) {
    if (seen.has(part.id)) problems.push({ code: "same-id", part: part.id, text: `two parts are called "${part.id}"` });
    seen.add(part.id);
    const fault = kindOf(part).fault(part);
    if (fault !== undefined) problems.push({ code: "bad-value", part: part.id, text: `part "${part.id}": ${fault}` });
  }
  return problems;
}

/** Union-find that carries the voltage between a node and its root; a tie that closes a circle is a source loop. */
function tieTogether(
  parts: readonly Part[],
  ends: readonly (readonly [number, number])[],
  tieVolts: readonly (number | undefined)[],
  count: number,
): { rootOf: (node: number) => readonly [number, number]; problems: NetworkProblem[] } {
  const parent = Int32Array.from({ length: count }, (_, node) => node);
  const above = new Float64Array(count);
  const rootOf = (start: number): readonly [number, number] => {
    let node = start;
    let volts = 0;
    for (let up = parent[node] ?? node; up !== node; up = parent[node] ?? node) {
      volts += above[node] ?? 0;
      node = up;
    }
    return [node, volts];
  };
  const problems: NetworkProblem[] = [];
  const ties: number[] = [];
  parts.forEach((part, index) => {
    const volts = tieVolts[index];
    const pair = ends[index];
    if (volts === undefined || pair === undefined) return;
    const [firstRoot, firstVolts] = rootOf(pair[0]);
    const [secondRoot, secondVolts] = rootOf(pair[1]);
    if (firstRoot === secondRoot) {
      const loop = [...tiePath(pair[0], pair[1], ties, ends).map((tie) => parts[tie]?.id ?? ""), part.id];
      const text = `these parts without resistance form a loop: ${loop.join(", ")}`;
      problems.push({ code: "source-loop", parts: loop, text });
      return;
    }
    ties.push(index);
    // V(first) − V(second) = volts
    parent[firstRoot] = secondRoot;
    above[firstRoot] = volts + secondVolts - firstVolts;
  });
  return { rootOf, problems };
}

/** The ties that already lead from one node to another, found breadth first. */
function tiePath(
  from: number,
  to: number,
  ties: readonly number[],
  ends: readonly (readonly [number, number])[],
): number[] {
  const cameBy = new Map<number, { tie: number; node: number }>([[from, { tie: -1, node: -1 }]]);
  const queue = [from];
  for (let node = queue.shift(); node !== undefined && node !== to; node = queue.shift()) {
    for (const tie of ties) {
      const pair = ends[tie];
      if (pair === undefined || (pair[0] !== node && pair[1] !== node)) continue;
      const other = pair[0] === node ? pair[1] : pair[0];
      if (cameBy.has(other)) continue;
      cameBy.set(other, { tie, node });
      queue.push(other);
    }
  }
  const path: number[] = [];
  for (let step = cameBy.get(to); step !== undefined && step.tie >= 0; step = cameBy.get(step.node))
    path.push(step.tie);
  return path.reverse();
}

/** Everything must hang on the reference. Nearly always it does: only then are islands sought that do not. */
function floatingProblems(
  parts: readonly Part[],
  ends: readonly (readonly [number, number])[],
  nodes: readonly string[],
  reference: number,
): NetworkProblem[] {
  const parent = Int32Array.from(nodes.keys());
  const rootOf = (start: number): number => {
    let node = start;
    while (parent[node] !== node) {
      parent[node] = parent[parent[node] as number] as number;
      node = parent[node] as number;
    }
    return node;
  };
  let islands = nodes.length;
  for (let part = 0; part < parts.length; part++) {
    if (!kindOf(parts[part] as Part).connects) continue;
    const [a, b] = ends[part] as readonly [number, number];
    const first = rootOf(a);
    const second = rootOf(b);
    if (first === second) continue;
    parent[first] = second;
    islands--;
  }
  if (islands <= 1) return [];
  const loose = new Map<number, string[]>();
  nodes.forEach((node, index) => {
    const root = rootOf(index);
    if (root !== rootOf(reference)) loose.set(root, [...(loose.get(root) ?? []), node]);
  });
  return [...loose.values()].map((island): NetworkProblem => {
    island.sort();
    const text = `nothing connects these nodes to the reference: ${island.join(", ")}`;
    return { code: "floating", nodes: island, text };
  });
}
