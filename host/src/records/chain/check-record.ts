import { z } from "zod";
import { hashSchema } from "../record-schema.js";
import { canonicalJson, NotCanonical } from "./canonical-json.js";
import { noRecordBefore, sha256Hex } from "./record-hash.js";
import { signatureHolds } from "./record-signature.js";

/**
 * The part of a record that proves it. Read loosely on purpose: a record of a later program, whose plan this one does
 * not understand, can still be checked.
 */
const envelopeSchema = z.looseObject({
  format: z.string().regex(/^pinwalk-record\/\d+$/),
  number: z.int().positive(),
  previous: hashSchema,
  signer: hashSchema,
  photos: z.array(z.looseObject({ sha256: hashSchema })).optional(),
});

export type RecordEnvelope = z.infer<typeof envelopeSchema>;

export type RecordCheck =
  | { readonly holds: true; readonly envelope: RecordEnvelope }
  | { readonly holds: false; readonly problem: string; readonly envelope?: RecordEnvelope };

/**
 * Checks one record by itself: its text is canonical, its hash is the hash of this text, and its signer signed the
 * hash. Whether the record before it is there is the chain's question ({@link chainProblem}).
 */
export function checkRecordText(text: string, hash: string, signature: string): RecordCheck {
  let record: unknown;
  try {
    record = JSON.parse(text);
    if (canonicalJson(record) !== text) return { holds: false, problem: "its text is not the text that was written" };
  } catch (error) {
    const why = error instanceof NotCanonical ? error.message : "its text is no JSON any more";
    return { holds: false, problem: why };
  }
  const envelope = envelopeSchema.safeParse(record);
  if (!envelope.success)
    return { holds: false, problem: "it is no record: number, signer or previous hash are not there" };
  const known = { envelope: envelope.data };
  if (sha256Hex(text) !== hash)
    return { holds: false, problem: "its content was changed: its hash is not the hash of what it says", ...known };
  if (!signatureHolds(envelope.data.signer, "pinwalk-record/1", hash, signature))
    return { holds: false, problem: "its signature is not its signer's", ...known };
  return { holds: true, envelope: envelope.data };
}

/** What is wrong between a record and the one before it in the same signer's chain; undefined if they join. */
export function chainProblem(
  envelope: RecordEnvelope,
  before: { readonly number: number; readonly hash: string } | undefined,
): string | undefined {
  if (!before)
    return envelope.number === 1 && envelope.previous !== noRecordBefore
      ? "it calls itself the first record but points at one before it"
      : undefined;
  if (envelope.number !== before.number + 1) return undefined;
  return envelope.previous === before.hash ? undefined : `it does not point at record ${before.number} before it`;
}
