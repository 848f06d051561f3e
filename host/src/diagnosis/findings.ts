import { z } from "zod";

/** What plan and readings together mean: the document `pinwalk-findings/1`. */
export const circuitVerdicts = [
  "pass",
  "open",
  "short-to-ground",
  "short-to-power",
  "bridged",
  "swapped",
  "low-current",
  "high-current",
  "no-ground",
  "not-isolated",
  "not-judged",
] as const;

export const circuitFindingSchema = z.strictObject({
  pin: z.string(),
  function: z.string(),
  verdict: z.enum(circuitVerdicts),
  expected: z.strictObject({ amps: z.number(), low: z.number(), high: z.number() }).optional(),
  measured: z
    .strictObject({ amps: z.number().optional(), uncertainty: z.number().optional(), volts: z.number().optional() })
    .optional(),
  reason: z.string(),
});

const faultFindingSchema = z.strictObject({
  kind: z.string(),
  at: z.string(),
  ohms: z.number().optional(),
  instead: z.string().optional(),
});

export const findingsSchema = z.strictObject({
  format: z.literal("pinwalk-findings/1"),
  overall: z.enum(["pass", "fail", "unsure"]),
  circuits: z.array(circuitFindingSchema),
  explanations: z.array(
    z.strictObject({ faults: z.array(faultFindingSchema), probability: z.number(), group: z.number().int() }),
  ),
  groups: z.array(
    z.strictObject({ group: z.number().int(), probability: z.number(), text: z.string(), members: z.number().int() }),
  ),
  nextChecks: z.array(z.strictObject({ check: z.record(z.string(), z.string()), bits: z.number(), text: z.string() })),
  notJudged: z.array(z.strictObject({ what: z.string(), why: z.string() })),
});

export type CircuitVerdict = (typeof circuitVerdicts)[number];
export type CircuitFinding = z.infer<typeof circuitFindingSchema>;
export type Findings = z.infer<typeof findingsSchema>;
