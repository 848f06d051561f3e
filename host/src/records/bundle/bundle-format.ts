import { z } from "zod";
import { hashSchema } from "../record-schema.js";

/**
 * An export, `pinwalk-records/1`: a text file of lines, each the canonical JSON of one object. First the head, then
 * records, each behind those of its photos that came not before, last the seal with the hash of every byte
 * before it, signed by the one who exported. Lines keep damage in one place: what was changed can be named.
 */
export const bundleHeadSchema = z.strictObject({
  format: z.literal("pinwalk-records/1"),
  exportedAt: z.iso.datetime({ offset: true }),
  program: z.strictObject({ name: z.literal("pinwalk"), version: z.string().max(32) }),
  /** Ed25519 public key of the one who exported, in hexadecimal. Each record has its own signer besides. */
  signer: hashSchema,
  records: z.int().min(0),
  photos: z.int().min(0),
});

export const bundlePhotoSchema = z.strictObject({
  photo: z.strictObject({
    sha256: hashSchema,
    type: z.enum(["image/jpeg", "image/png", "image/webp"]),
    data: z.base64(),
  }),
});

export const bundleRecordSchema = z.strictObject({
  record: z.looseObject({}),
  hash: hashSchema,
  signature: z.string().regex(/^[0-9a-f]{128}$/),
});

export const bundleSealSchema = z.strictObject({
  seal: z.strictObject({
    /** Lines before this one. */
    lines: z.int().positive(),
    sha256: hashSchema,
    signature: z.string().regex(/^[0-9a-f]{128}$/),
  }),
});

export type BundleHead = z.infer<typeof bundleHeadSchema>;

/** The ending of an export's file name. */
export const bundleEnding = ".pinwalk-records";
