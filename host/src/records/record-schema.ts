import { z } from "zod";
import { findingsSchema } from "../diagnosis/findings.js";
import { planSchema } from "../plan/plan-schema.js";
import { readingsSchema } from "../readings/readings.js";
import { lineOfText, linesOfText } from "./person-text.js";

/** SHA-256 in lower-case hexadecimal. */
export const hashSchema = z.string().regex(/^[0-9a-f]{64}$/, "must be 64 hexadecimal digits");

export const subjectKinds = ["vehicle", "cable"] as const;

/** What was tested. `serial` is a vehicle's number (licence plate, VIN) or the serial number of a cable. */
const subjectSchema = z.strictObject({
  kind: z.enum(subjectKinds),
  serial: lineOfText(64),
  description: lineOfText(120).optional(),
});

/** A question that the program asked while the job went on (a next check, a lamp to look at), and what was answered. */
const answerSchema = z.strictObject({
  question: lineOfText(500),
  answer: lineOfText(500),
  answeredAt: z.iso.datetime({ offset: true }).optional(),
});

const photoSchema = z.strictObject({
  sha256: hashSchema,
  type: z.enum(["image/jpeg", "image/png", "image/webp"]),
  bytes: z.int().positive(),
  width: z.int().positive(),
  height: z.int().positive(),
  caption: lineOfText(200).optional(),
});

/** What people give when a job is kept; everything else of a record the store adds. */
const jobShape = {
  /** The shop's name as it stands on the certificate. */
  shop: lineOfText(120).optional(),
  /** Who did the work. */
  person: lineOfText(120),
  customer: lineOfText(120).optional(),
  subject: subjectSchema,
  /** Names a lot of cables that are judged together. */
  batch: lineOfText(64).optional(),
  /** The record that this one puts right. The old one stays. */
  corrects: z.strictObject({ hash: hashSchema, why: lineOfText(500) }).optional(),
  plan: planSchema,
  readings: readingsSchema,
  findings: findingsSchema,
  answers: z.array(answerSchema).max(200),
  notes: linesOfText(10_000).optional(),
};

/**
 * One finished job as it is kept: the document `pinwalk-record/1`. Bench, its firmware and calibration with the
 * uncertainties stand in `readings.tester`; what was seen in `readings.seen`.
 */
export const recordSchema = z.strictObject({
  format: z.literal("pinwalk-record/1"),
  /** Place in the signer's chain, from 1. */
  number: z.int().positive(),
  /** Hash of the signer's record before this one; 64 zeros in the first. */
  previous: hashSchema,
  /** The Ed25519 public key that signs this record, 32 bytes in hexadecimal. */
  signer: z.string().regex(/^[0-9a-f]{64}$/),
  savedAt: z.iso.datetime({ offset: true }),
  /** IANA name of the time zone in which the computer stood. */
  zone: lineOfText(64),
  program: z.strictObject({ name: z.literal("pinwalk"), version: lineOfText(32) }),
  ...jobShape,
  photos: z.array(photoSchema).max(24),
});

export const jobSchema = z.strictObject(jobShape);

export type PinwalkRecord = z.infer<typeof recordSchema>;
export type Job = z.infer<typeof jobSchema>;
export type RecordPhoto = z.infer<typeof photoSchema>;

/** A record with what proves it: its hash, and the signature of `record.signer` over the hash. */
export interface SealedRecord {
  readonly record: PinwalkRecord;
  readonly hash: string;
  readonly signature: string;
}

/** A job to be kept, with its photos as they came from the camera. */
export interface RecordDraft {
  readonly job: Job;
  readonly photos?: readonly { readonly data: Uint8Array; readonly caption?: string }[];
}
