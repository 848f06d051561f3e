import { missingWords, noneYetWords } from "../../plan/issue-words.js";
import { type PlanProblem, parsePlan } from "../../plan/parse-plan.js";
import type { Plan } from "../../plan/plan-schema.js";
import type { PlanView } from "../contract.js";
import { cutListView } from "../cut-list-view.js";
import { faceViews } from "../face-view.js";
import { planSummary, planView } from "../plan-view.js";
import { completePart, isStrange, withoutStrangeKeys } from "./complete-part.js";
import type { DraftProblem, WeighedDraft } from "./drafting-contract.js";
import { partSources } from "./part-sources.js";
import { wiringView } from "./wiring-view.js";

/** What a draft comes to: all that is wrong with it, and the view of whatever is in order. Never throws. */
export function weighDraft(draft: unknown): WeighedDraft {
  const parsed = parsePlan(draft);
  const part = parsed.ok ? { plan: parsed.plan, leftOut: [] } : completePart(draft);
  const problems = parsed.ok ? [] : withoutStrangeKeys(draft).problems.map(withKind);
  if (!part) return { problems, view: null, leftOut: [], unsolvable: null, sources: [] };
  const shown = {
    problems,
    leftOut: part.leftOut.map((path) => outWords(draft, path)),
    sources: partSources(part.plan),
  };
  try {
    const whole = circuitsOf(part.plan) > 0;
    return { ...shown, view: whole ? planView(part.plan, summary(part.plan)) : unlit(part.plan), unsolvable: null };
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    return { ...shown, view: unlit(part.plan), unsolvable: `The expected currents cannot be worked out: ${why}` };
  }
}

function withKind(problem: PlanProblem): DraftProblem {
  const missing = [missingWords, noneYetWords].includes(problem.message);
  return { ...problem, kind: missing ? "missing" : isStrange(problem) ? "strange" : "wrong" };
}

const summary = (plan: Plan) => planSummary(plan, "draft", "own");
const circuitsOf = (plan: Plan) => (plan.kind === "install" ? plan.circuits : plan.conductors).length;

/** What can be shown of a plan that draws no current. */
function unlit(plan: Plan): PlanView {
  return {
    ...summary(plan),
    nominalVolts: plan.nominalVolts,
    faces: faceViews(plan),
    expected: [],
    remarks: [],
    cutList: cutListView(plan),
    wiring: wiringView(plan),
  };
}

const entryWords: Readonly<Record<string, readonly [word: string, naming: readonly string[]]>> = {
  circuits: ["circuit", ["pin"]],
  feeds: ["feed", ["to"]],
  sockets: ["lamp", ["place", "id"]],
  conductors: ["conductor", ["near"]],
  senseOnly: ["pin never driven", []],
  bright: ["load of the vehicle's own feed", ["bulb"]],
  dim: ["load of the vehicle's own feed", ["bulb"]],
};

/** `circuits[2]` → `circuit LT`, or its number where it has no name yet. */
function outWords(draft: unknown, path: string): string {
  const steps = path.match(/[^.[\]]+/g) ?? [];
  let place: unknown = draft;
  for (const step of steps) place = (place as Record<string, unknown> | undefined)?.[step];
  const [word, naming] = entryWords[steps.at(-2) ?? ""] ?? ["entry", []];
  const names = naming.map((key) => (place as Record<string, unknown> | null | undefined)?.[key]);
  const name = names.find((one) => typeof one === "string" && one !== "");
  return `${word} ${typeof name === "string" ? name : Number(steps.at(-1)) + 1}`;
}
