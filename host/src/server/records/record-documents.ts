import { createHash } from "node:crypto";
import type { Response } from "express";
import { circuitCsv } from "../../records/report/circuit-csv.js";
import { pageStyle } from "../../records/report/printable-page-style.js";
import type { RecordStore } from "../../records/store/record-store.js";
import type { SavedRecord } from "../../records/store/saved-record.js";

type Sender = (response: Response, saved: SavedRecord, store: RecordStore) => Promise<void> | void;

/** A file's name from what people typed: letters and digits of ASCII alone, so that no system stumbles over it. */
function fileName(what: string, { record }: SavedRecord, ending: string): string {
  const serial = record.subject.serial
    .replaceAll(/[^A-Za-z0-9]+/g, "-")
    .replaceAll(/^-|-$/g, "")
    .slice(0, 40);
  return `pinwalk-${what}-${record.number}${serial === "" ? "" : `-${serial}`}.${ending}`;
}

const photosOf = (saved: SavedRecord, store: RecordStore) => ({
  correctedBy: saved.summary.correctedBy,
  photo: async (sha256: string) => (await store.photo(sha256))?.data,
});

/** The printable page brings its one style sheet and its pictures along and may do nothing else. */
const printablePolicy = [
  "default-src 'none'",
  `style-src 'sha256-${createHash("sha256").update(pageStyle).digest("base64")}'`,
  "img-src data:",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
  "sandbox allow-modals",
].join("; ");

/** The last part of a document's address → how it is made and sent. The typesetter is loaded where it is needed. */
export const documentSenders: Readonly<Record<string, Sender>> = {
  "certificate.pdf": async (response, saved, store) => {
    const { certificatePdf } = await import("../../records/report/certificate-pdf.js");
    response.attachment(fileName("certificate", saved, "pdf")).type("pdf");
    response.send(await certificatePdf(saved, photosOf(saved, store)));
  },
  page: async (response, saved, store) => {
    const { printablePage } = await import("../../records/report/printable-page.js");
    response.set("Content-Security-Policy", printablePolicy).type("html");
    response.send(await printablePage(saved, photosOf(saved, store)));
  },
  "circuits.csv": (response, saved) => {
    response.attachment(fileName("circuits", saved, "csv")).type("text/csv; charset=utf-8");
    response.send(circuitCsv([saved]));
  },
  "record.json": (response, saved) => {
    const { record, hash, signature } = saved;
    response.attachment(fileName("record", saved, "json")).type("json");
    response.send(`${JSON.stringify({ record, hash, signature }, null, 2)}\n`);
  },
  "label.pdf": async (response, saved) => {
    const { labelPdf } = await import("../../records/report/cable-label.js");
    response.attachment(fileName("label", saved, "pdf")).type("pdf");
    response.send(await labelPdf(saved));
  },
};
