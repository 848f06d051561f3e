import { checkPlan } from "../plan/check/check-plan.js";
import { figure, type Remark } from "../plan/check/remark.js";
import type { Plan } from "../plan/plan-schema.js";
import type { RemarkView } from "./contract.js";
import { namedPlaceWords } from "./named-place-words.js";

/** What the check of a plan has to say, the worst first, its places in words. */
export function remarkViews(plan: Plan): RemarkView[] {
  return checkPlan(plan).map((remark) => ({
    severity: remark.severity,
    where: namedPlaceWords(plan, remark.where),
    text: remark.text,
    figure: amountText(remark.value, remark.unit),
    limit: amountText(remark.limit, remark.unit),
    source: remark.source,
  }));
}

function amountText(amount: number | undefined, unit: Remark["unit"]): string | null {
  return amount === undefined ? null : `${figure(amount)}${unit === undefined ? "" : `\u00a0${unit}`}`;
}
