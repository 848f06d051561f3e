import { parseBoundedJson } from "../chain/bounded-json.js";
import { canonicalJson } from "../chain/canonical-json.js";
import { checkRecordText, type RecordEnvelope } from "../chain/check-record.js";
import { signatureHolds } from "../chain/record-signature.js";
import { type Photo, takePhoto } from "../photos/photo.js";
import { isRecordsError } from "../records-error.js";
import {
  type BundleHead,
  bundleHeadSchema,
  bundlePhotoSchema,
  bundleRecordSchema,
  bundleSealSchema,
} from "./bundle-format.js";
import { type BundleLine, bundleLines } from "./bundle-lines.js";

const bounds = { mostLength: 20 * 1024 * 1024, mostDepth: 40 } as const;

const notAnExport = "the file does not begin as an export of records does";

/** A record of an export that holds by itself. */
export interface BundleRecord {
  readonly kind: "record";
  readonly envelope: RecordEnvelope;
  readonly text: string;
  readonly hash: string;
  readonly signature: string;
}

/** What reading an export brings up, line after line. */
export type BundleItem =
  | { readonly kind: "head"; readonly head: BundleHead }
  | { readonly kind: "photo"; readonly photo: Photo }
  | BundleRecord
  | { readonly kind: "sealed" }
  /** A record or photo that does not hold. What is known of a record is told. */
  | {
      readonly kind: "bad-record";
      readonly lineNumber: number;
      readonly problem: string;
      readonly signer: string | null;
      readonly number: number | null;
      readonly hash: string | null;
      readonly serial: string | null;
    }
  /** Anything else that is not as it was written. */
  | { readonly kind: "problem"; readonly lineNumber: number; readonly problem: string };

/** What a broken record line still says of itself, for naming it. */
function clues(text: string) {
  const found = (pattern: RegExp): string | null => pattern.exec(text)?.[1] ?? null;
  const number = found(/"number":(\d{1,15}),"person"/);
  return {
    signer: found(/"signer":"([0-9a-f]{64})"/),
    number: number === null ? null : Number(number),
    hash: found(/^\{"hash":"([0-9a-f]{64})"/),
    serial: found(/"serial":"([^"\\]{1,64})"/),
  };
}

function badRecord(line: BundleLine, problem: string): BundleItem {
  return { kind: "bad-record", lineNumber: line.lineNumber, problem, ...clues(line.text ?? "") };
}

function readObject(line: BundleLine): { readonly value: unknown } | { readonly problem: string } {
  if (line.text === undefined) return { problem: "it is no UTF-8 text any more" };
  try {
    const value = parseBoundedJson(line.text, bounds);
    if (canonicalJson(value) !== line.text) return { problem: "its text is not the text that was written" };
    return { value };
  } catch (error) {
    return { problem: error instanceof Error ? error.message : String(error) };
  }
}

function readPhotoLine(line: BundleLine, value: unknown): BundleItem {
  const parsed = bundlePhotoSchema.safeParse(value);
  if (!parsed.success) return { kind: "problem", lineNumber: line.lineNumber, problem: "it is no photo of an export" };
  const { sha256, type, data } = parsed.data.photo;
  try {
    const photo = takePhoto(Buffer.from(data, "base64"));
    if (photo.sha256 !== sha256 || photo.type !== type)
      return { kind: "problem", lineNumber: line.lineNumber, problem: `the photo is not the one of hash ${sha256}` };
    return { kind: "photo", photo };
  } catch (error) {
    if (!isRecordsError(error)) throw error;
    return { kind: "problem", lineNumber: line.lineNumber, problem: `the photo of hash ${sha256}: ${error.message}` };
  }
}

function readRecordLine(line: BundleLine, value: unknown): BundleItem {
  const parsed = bundleRecordSchema.safeParse(value);
  if (!parsed.success) return badRecord(line, "it is no record of an export");
  const { hash, signature } = parsed.data;
  const text = canonicalJson((value as { record: unknown }).record);
  const check = checkRecordText(text, hash, signature);
  if (!check.holds) return badRecord(line, check.problem);
  return { kind: "record", envelope: check.envelope, text, hash, signature };
}

function readSeal(line: BundleLine, value: unknown, head: BundleHead | undefined): BundleItem {
  const parsed = bundleSealSchema.safeParse(value);
  const problem = (text: string): BundleItem => ({ kind: "problem", lineNumber: line.lineNumber, problem: text });
  if (!parsed.success) return problem("it is no seal of an export");
  const { lines, sha256, signature } = parsed.data.seal;
  if (lines !== line.lineNumber - 1)
    return problem(`the seal was made for ${lines} lines, ${line.lineNumber - 1} are there`);
  if (sha256 !== line.hashBefore) return problem("the file is not what was sealed when it was exported");
  if (!head || !signatureHolds(head.signer, "pinwalk-records/1", sha256, signature))
    return problem("the seal's signature is not that of the one who exported");
  return { kind: "sealed" };
}

/**
 * Reads an export and checks line by line what can be checked alone: canonical text, hashes, signatures, photos, the
 * seal at its end. Damage is told as items, with reading going on behind it; only a file that cannot be read at all throws.
 */
export async function* readBundle(path: string): AsyncGenerator<BundleItem> {
  let head: BundleHead | undefined;
  let sealed = false;
  let records = 0;
  let photos = 0;
  let last = 0;
  for await (const line of bundleLines(path)) {
    last = line.lineNumber;
    if (sealed) {
      yield { kind: "problem", lineNumber: last, problem: "something follows behind the seal" };
      return;
    }
    if (last === 1 && line.text?.includes("pinwalk-rec") !== true && line.text?.startsWith('{"exported') !== true) {
      yield { kind: "problem", lineNumber: 1, problem: notAnExport };
      return;
    }
    const looksLikeRecord =
      line.text?.includes('"pinwalk-record/') === true || line.text?.startsWith('{"hash"') === true;
    const object = readObject(line);
    if (!line.ended) yield { kind: "problem", lineNumber: last, problem: "the file ends in the middle of a line" };
    if ("problem" in object) {
      yield looksLikeRecord
        ? badRecord(line, object.problem)
        : { kind: "problem", lineNumber: last, problem: object.problem };
      if (looksLikeRecord) records++;
    } else if (last === 1) {
      const parsed = bundleHeadSchema.safeParse(object.value);
      if (!parsed.success) {
        yield { kind: "problem", lineNumber: 1, problem: notAnExport };
      } else {
        head = parsed.data;
        yield { kind: "head", head };
      }
    } else if (line.text?.startsWith('{"photo"')) {
      photos++;
      yield readPhotoLine(line, object.value);
    } else if (line.text?.startsWith('{"seal"')) {
      const seal = readSeal(line, object.value, head);
      sealed = true;
      yield seal;
    } else {
      records++;
      yield readRecordLine(line, object.value);
    }
  }
  if (last === 0) yield { kind: "problem", lineNumber: 1, problem: "the file is empty" };
  else if (!sealed)
    yield { kind: "problem", lineNumber: last, problem: "the seal at the end of the file is not there" };
  if (head && (head.records !== records || head.photos !== photos))
    yield {
      kind: "problem",
      lineNumber: 1,
      problem: `the head speaks of ${head.records} records and ${head.photos} photos; ${records} and ${photos} are there`,
    };
}
