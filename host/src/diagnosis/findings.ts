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

const evidenceSchema = z.strictObject({
  reading: z.string(),
  measured: z.number(),
  predicted: z.number(),
  /** Measured less predicted under this explanation, in standard deviations. */
  deviations: z.number(),
  /** The same if nothing were wrong. */
  deviationsIfHealthy: z.number(),
  speaks: z.enum(["for", "against"]),
});

export const findingsSchema = z.strictObject({
  format: z.literal("pinwalk-findings/1"),
  overall: z.enum(["pass", "fail", "unsure"]),
  circuits: z.array(circuitFindingSchema),
  explanations: z.array(
    z.strictObject({
      faults: z.array(faultFindingSchema),
      probability: z.number(),
      group: z.number().int(),
      /** Readings that speak for or against it, the weightiest first; only for the likeliest of a group. */
      evidence: z.array(evidenceSchema).optional(),
    }),
  ),
  groups: z.array(
    z.strictObject({ group: z.number().int(), probability: z.number(), text: z.string(), members: z.number().int() }),
  ),
  nextChecks: z.array(
    z.strictObject({
      check: z.record(z.string(), z.string()),
      bits: z.number(),
      text: z.string(),
      /** A person's work, minutes; checks are ordered by bits over minutes. */
      minutes: z.number().optional(),
      /** What can come of it, with the chance of each; `answer` is what goes back in. */
      outcomes: z.array(z.strictObject({ answer: z.string(), text: z.string(), chance: z.number() })).optional(),
    }),
  ),
  notJudged: z.array(z.strictObject({ what: z.string(), why: z.string() })),
});

export type CircuitVerdict = (typeof circuitVerdicts)[number];
export type CircuitFinding = z.infer<typeof circuitFindingSchema>;
export type Findings = z.infer<typeof findingsSchema>;
