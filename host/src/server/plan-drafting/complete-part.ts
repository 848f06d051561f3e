import { connectorFor } from "../../plan/connectors.js";
import { strangeKeyWords } from "../../plan/issue-words.js";
import { type PlanProblem, parsePlan } from "../../plan/parse-plan.js";
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
  let rest = withoutStrangeKeys(draft).draft;
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

/** A copy without the keys that no plan has, and what else is wrong with it; places stay what they were. Never throws. */
export function withoutStrangeKeys(draft: unknown): { draft: Loose; problems: readonly PlanProblem[] } {
  const rest = structuredClone(draft) as Loose;
  const strange: PlanProblem[] = [];
  for (let round = 0; round < mostRounds; round += 1) {
    const parsed = parsePlan(rest);
    const problems = parsed.ok ? [] : parsed.problems;
    const keys = problems.filter(isStrange);
    if (keys.length === 0) return { draft: rest, problems: [...strange, ...problems] };
    strange.push(...keys);
    for (const { path } of keys) removeAt(rest, path);
  }
  return { draft: rest, problems: strange };
}

export const isStrange = ({ message }: PlanProblem): boolean => message.startsWith(strangeKeyWords);

function removeAt(draft: Loose, path: string): void {
  const steps = path.match(/[^.[\]]+/g) ?? [];
  const last = steps.at(-1) ?? "";
  let place: unknown = draft;
  for (const step of steps.slice(0, -1)) place = (place as Loose | undefined)?.[step];
  if (Array.isArray(place)) place.splice(Number(last), 1);
  else if (typeof place === "object" && place !== null) delete (place as Loose)[last];
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
