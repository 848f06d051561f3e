import { z } from "zod";

/** What the bench's own tests found: the document `pinwalk-selftest-report/1`, with the bench that it is of. */
export const selfTestDocumentSchema = z.strictObject({
  format: z.literal("pinwalk-selftest-report/1"),
  bench: z.strictObject({ serial: z.string(), firmware: z.string(), name: z.string() }),
  /** ISO 8601. */
  testedAt: z.string(),
  overall: z.enum(["pass", "fail", "unsure"]),
  items: z.array(
    z.strictObject({
      id: z.string(),
      verdict: z.enum(["pass", "fail", "unsure", "not-tested"]),
      words: z.string(),
      lookAt: z.string().optional(),
    }),
  ),
});

export type SelfTestDocument = z.infer<typeof selfTestDocumentSchema>;
