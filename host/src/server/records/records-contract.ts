import { z } from "zod";
import type { Comparison } from "../../records/compare/compare-records.js";
import { lineOfText, linesOfText } from "../../records/person-text.js";
import { hashSchema, subjectKinds } from "../../records/record-schema.js";
import type { CertificateView } from "../../records/report/certificate-view.js";
import type { RecordSummary } from "../../records/store/saved-record.js";
import type { VerifyReport } from "../../records/verify/verify-report.js";

/**
 * What passes between a browser and the record store, all under `/records`. Requests and answers rather than a part of
 * the workbench's state: what one person looks up is nobody else's page.
 */

/** Photos in one request; more of them, or larger ones, go in on the command line. */
export const mostPhotos = 8;
/** The whole request that keeps a record, photos included. */
export const mostKeepBytes = 48 * 1024 * 1024;
/** Twelve million bytes in base64, the store's own bound. */
const mostBase64 = 16 * 1024 * 1024;

/** `POST /records/keep`: make the walk of this number a record. */
export const keepRequestSchema = z.strictObject({
  walkNumber: z.int().positive(),
  kind: z.enum(subjectKinds),
  serial: lineOfText(64),
  person: lineOfText(120),
  description: lineOfText(120).optional(),
  customer: lineOfText(120).optional(),
  shop: lineOfText(120).optional(),
  batch: lineOfText(64).optional(),
  notes: linesOfText(10_000).optional(),
  photos: z
    .array(z.strictObject({ base64: z.string().min(1).max(mostBase64), caption: lineOfText(200).optional() }))
    .max(mostPhotos),
});

/** `POST /records/retest`: choose the plan of this record. */
export const retestRequestSchema = z.strictObject({ hash: hashSchema });

/** Tested at or after, and before, these moments. */
const testedBetween = {
  since: z.iso.datetime({ offset: true }).optional(),
  until: z.iso.datetime({ offset: true }).optional(),
};

/** `POST /records/export`: all that fit. */
export const exportRequestSchema = z.strictObject({
  text: z.string().max(200).optional(),
  verdict: z.enum(["pass", "fail", "unsure"]).optional(),
  ...testedBetween,
});

/** `POST /records/import` takes the file itself, up to this. */
export const mostImportBytes = 256 * 1024 * 1024;

/** `GET /records/list`. */
export const listQuerySchema = z.strictObject({
  text: z.string().max(200).optional(),
  verdict: z.enum(["pass", "fail", "unsure"]).optional(),
  ...testedBetween,
  before: z.coerce.number().int().positive().max(Number.MAX_SAFE_INTEGER).optional(),
  limit: z.coerce.number().int().min(1).max(200).optional(),
});

/** `GET /records/compare`. */
export const compareQuerySchema = z.strictObject({ serial: z.string().min(1).max(64) });

/** `GET /records/batch/…`. */
export const batchQuerySchema = z.strictObject({ batch: lineOfText(64) });

export type KeepRequest = z.infer<typeof keepRequestSchema>;
export type ExportRequest = z.infer<typeof exportRequestSchema>;
export type ListQuery = z.infer<typeof listQuerySchema>;

/** Any refusal, with the status beside it; `code` for programs, `message` for people. */
export interface RecordsRefusal {
  readonly code: string;
  readonly message: string;
}

/** Newest first. `before` continues where `nextBefore` says; null at the end. */
export interface RecordListing {
  readonly records: readonly RecordSummary[];
  readonly nextBefore: number | null;
  /** Where the store is, or will be when the first record is kept. */
  readonly storePath: string;
  readonly storeExists: boolean;
}

/** The walk that could be made a record now. */
export interface KeepableWalk {
  readonly walkNumber: number;
  /** `changed`: kept, but something was seen or judged since; keeping again puts the record right. */
  readonly state: "not-judged" | "ready" | "kept" | "changed";
  /** The record that this walk has become. */
  readonly hash: string | null;
}

/** `GET /records/record/…`: one record as a page shows it. */
export interface RecordPageView {
  readonly summary: RecordSummary;
  readonly certificate: CertificateView;
  /** Whether hash and signature of this very record hold, worked out when it was asked for. */
  readonly seal: { readonly holds: true } | { readonly holds: false; readonly problem: string };
  readonly documents: readonly { readonly title: string; readonly href: string; readonly opens: "file" | "page" }[];
  /** Records of the same number, this one included. */
  readonly sameSerial: number;
}

export interface KeptView {
  readonly hash: string;
  readonly number: number;
  /** What else a person should know of how it was kept. */
  readonly remark: string | null;
}

/** Files that were made for this browser; the addresses hold for a quarter of an hour. */
export interface OfferedFiles {
  readonly words: string;
  readonly files: readonly { readonly name: string; readonly href: string; readonly bytes: number }[];
}

/** What an import has brought; it was whole, and every signature in it holds. */
export interface ImportedView {
  readonly added: number;
  readonly alreadyThere: number;
  readonly exportedBy: string;
  readonly signers: readonly { readonly name: string; readonly own: boolean; readonly added: number }[];
  readonly remark: string | null;
}

export type ComparisonView = Comparison;

/** `POST /records/verify` answers with one of these a line, as it goes on. */
export type VerifyLine =
  | { readonly kind: "progress"; readonly done: number; readonly all: number }
  | { readonly kind: "report"; readonly report: VerifyReport }
  | { readonly kind: "failed"; readonly code: string; readonly message: string };
