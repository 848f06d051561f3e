import { readFileSync } from "node:fs";
import { type Fault, parseFault } from "@pinwalk/host/plan/fault.js";
import { parsePlan } from "@pinwalk/host/plan/parse-plan.js";
import type { Plan } from "@pinwalk/host/plan/plan-schema.js";

/** What is walked under attack: a plan with the faults that are built in. */
export interface Subject {
  readonly name: string;
  readonly plan: Plan;
  readonly faults: readonly Fault[];
}

function subject(planName: string, ...faultTexts: string[]): Subject {
  const file = new URL(`../../fixtures/plans/${planName}.json`, import.meta.url);
  const parsed = parsePlan(JSON.parse(readFileSync(file, "utf8")));
  if (!parsed.ok) throw new Error(`${planName} does not parse`);
  const faults = faultTexts.map((text) => {
    const read = parseFault(text);
    if (!read.ok) throw new Error(read.message);
    return read.fault;
  });
  return { name: [planName, ...faultTexts].join(" "), plan: parsed.plan, faults };
}

/** Healthy and faulty, vehicle and cable; none of the faults is a marginal one. */
export const subjects: readonly Subject[] = [
  subject("hatchback-round-6"),
  subject("hatchback-round-6", "open@lamp:left-rear.bright"),
  subject("hatchback-round-6", "short-to-ground@wire:TM"),
  subject("hatchback-round-6", "short-to-power@pin:RT"),
  subject("hatchback-round-6", "bridge@wire:LT+wire:TM"),
  subject("hatchback-led-flat-4"),
  subject("hatchback-led-flat-4", "open@ground-bond"),
  subject("umbilical-blade-7-to-round-6"),
  subject("umbilical-blade-7-to-round-6", "open@wire:TM"),
  subject("umbilical-blade-7-to-round-6", "bridge@wire:LT+wire:RT"),
];
