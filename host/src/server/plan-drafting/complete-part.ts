import { connectorFor } from "../../plan/connectors.js";
import { parsePlan } from "../../plan/parse-plan.js";
import { connectorChoiceSchema, type Plan } from "../../plan/plan-schema.js";
import { startReturn } from "../../plan/templates/circuit-start.js";
import { farLoadOhms } from "../../plan/templates/umbilical.js";

export interface CompletePart {
  readonly plan: Plan;
  /** Paths of what was left out. */
  readonly leftOut: readonly string[];
}

type Loose = Record<string, unknown>;

/** Lists whose entries can be left out without changing what the others mean. */
const entry = /^(?:.*\.)?(?:circuits|feeds|sockets|conductors|senseOnly|bright|dim)\[\d+\]/;
/** Leaving something out can leave something else without its partner; rounds until nothing is wrong any more. */
const mostRounds = 6;

/** The part of a draft with which nothing is wrong; undefined where even that is no plan. Never throws. */
export function completePart(draft: unknown): CompletePart | undefined {
  let rest = structuredClone(draft) as Loose;
  if (typeof rest.name !== "string" || rest.name === "") rest = { ...rest, name: "Plan without a name" };
  const leftOut: string[] = [];
  for (let round = 0; round < mostRounds; round += 1) {
    const parsed = parsePlan(rest);
    if (parsed.ok) return { plan: parsed.plan, leftOut };
    const out = new Set(parsed.problems.map(({ path }) => entry.exec(path)?.[0] ?? ""));
    if (out.has("")) return stub(rest, leftOut);
    leftOut.push(...out);
    // From behind, so that the places before stay what they were.
    for (const path of [...out].sort((a, b) => b.localeCompare(a, "en", { numeric: true }))) removeAt(rest, path);
  }
  return undefined;
}

function removeAt(draft: Loose, path: string): void {
  const steps = path.match(/[^.[\]]+/g) ?? [];
  let place: unknown = draft;
  for (const step of steps.slice(0, -1)) place = (place as Loose | undefined)?.[step];
  if (Array.isArray(place)) place.splice(Number(steps.at(-1)), 1);
}

/** Nothing but the connectors, so that their faces can be seen from the first moment. */
function stub(draft: Loose, leftOut: readonly string[]): CompletePart | undefined {
  const known = (choice: unknown) => {
    const read = connectorChoiceSchema.safeParse(choice);
    const connector = read.success ? connectorFor(read.data) : undefined;
    return read.success && connector?.pins.some((pin) => pin.function === "ground")
      ? { choice: read.data, connector }
      : undefined;
  };
  const common = { format: "pinwalk-plan/1", name: String(draft.name), nominalVolts: 12 } as const;
  if (draft.kind === "install") {
    const near = known(draft.connector);
    if (!near) return undefined;
    const { ground } = startReturn(near.connector, near.connector.conventions[0], []);
    return { plan: { ...common, kind: "install", connector: near.choice, circuits: [], sockets: [], ground }, leftOut };
  }
  const near = known(draft.near);
  const far = known(draft.far);
  if (draft.kind !== "cable" || !near || !far) return undefined;
  return {
    plan: { ...common, kind: "cable", near: near.choice, far: far.choice, conductors: [], farLoadOhms },
    leftOut,
  };
}
