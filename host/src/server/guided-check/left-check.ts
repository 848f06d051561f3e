import { z } from "zod";
import { planSchema } from "../../plan/plan-schema.js";
import { readingsSchema } from "../../readings/readings.js";
import { lineOfText } from "../../records/person-text.js";
import { hashSchema } from "../../records/record-schema.js";
import { givenAnswerSchema, mostAnswers } from "../next-check/next-check-contract.js";
import { checkIdSchema, steppingStones } from "./guide-contract.js";

/**
 * A check as it stands between two moments: the document `pinwalk-check/1`, written while it goes on, so that neither a
 * closed page nor a computer that fails loses what was measured. What follows from it (findings) is worked out anew.
 */
export const leftCheckSchema = z.strictObject({
  format: z.literal("pinwalk-check/1"),
  id: checkIdSchema,
  begunAt: z.iso.datetime(),
  savedAt: z.iso.datetime(),
  plan: planSchema,
  bench: z.strictObject({ id: z.string().min(1).max(256), name: z.string().min(1).max(200) }),
  /** What was wrong with the simulated vehicle of the virtual bench; a real one brings its own. */
  faults: z
    .array(z.strictObject({ choice: z.string().min(3).max(200), ohms: z.number().positive().max(1e6).optional() }))
    .max(16),
  /** Whether the walk came to its verdict; if not, the readings are those until it was broken off. */
  walked: z.boolean(),
  readings: readingsSchema,
  leftOut: z.partialRecord(z.enum(steppingStones), lineOfText(200)),
  answers: z.array(givenAnswerSchema).max(mostAnswers),
  /** The record that it has become, where more was seen or judged since. */
  recordHash: hashSchema.nullable(),
});

export type LeftCheck = z.infer<typeof leftCheckSchema>;
