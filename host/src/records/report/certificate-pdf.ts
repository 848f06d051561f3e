import type { SavedRecord } from "../store/saved-record.js";
import { type CertificateRow, type CertificateView, certificateView } from "./certificate-view.js";
import { drawPhotos, type PhotoSource } from "./pdf-photos.js";
import { PdfSheet, type TextStyle } from "./pdf-sheet.js";
import { pdfTable } from "./pdf-table.js";
import { recordQr } from "./record-qr.js";
import { timeInZone } from "./record-time.js";

export interface CertificateOptions {
  /** Set if a later record puts this one right. */
  readonly correctedBy?: string | null;
  /** Silent: Letter for records made in the Americas, A4 elsewhere. */
  readonly paper?: "A4" | "LETTER";
  /** Where the photos' pixels come from; without it they are listed by name. */
  readonly photo?: PhotoSource;
}

const body: TextStyle = { font: "plain", size: 9.5 };
const small: TextStyle = { font: "plain", size: 8, colour: "#444444" };
const heading: TextStyle = { font: "bold", size: 11.5 };
/** Dark enough for 7:1 on white; the words carry the meaning without them. */
const colours = {
  good: "#0b5d1e",
  bad: "#9b1c1c",
  open: "#6b4e00",
  pass: "#0b5d1e",
  fail: "#9b1c1c",
  unsure: "#6b4e00",
} as const;
const footerHeight = 22;

function section(sheet: PdfSheet, title: string): void {
  sheet.ensure(44);
  sheet.y += 4;
  sheet.paragraph(title, heading, { after: 3 });
}

function list(sheet: PdfSheet, items: readonly string[], style: TextStyle = body): void {
  for (const item of items) {
    sheet.ensure(sheet.lineHeight(style));
    sheet.writeAt(["•"], sheet.left, sheet.y, 10, style);
    sheet.paragraph(item, style, { indent: 11, after: 2 });
  }
  sheet.y += 3;
}

function drawHead(sheet: PdfSheet, view: CertificateView): void {
  if (view.shop) sheet.paragraph(view.shop, { font: "plain", size: 11, colour: "#444444" }, { after: 1 });
  sheet.paragraph(view.title, { font: "bold", size: 18 }, { after: 6 });
  const word: TextStyle = { font: "bold", size: 20, colour: colours[view.verdict.overall] };
  const inner = sheet.width - 24;
  const sentence = sheet.wrap(view.verdict.sentence, inner, { ...body, size: 11 });
  const height = sheet.lineHeight(word) + sentence.length * sheet.lineHeight({ ...body, size: 11 }) + 16;
  sheet.doc.lineWidth(1.5).rect(sheet.left, sheet.y, sheet.width, height).stroke(colours[view.verdict.overall]);
  sheet.writeAt([view.verdict.word], sheet.left + 12, sheet.y + 8, inner, word);
  sheet.writeAt(sentence, sheet.left + 12, sheet.y + 8 + sheet.lineHeight(word), inner, { ...body, size: 11 });
  sheet.y += height + 8;
  for (const text of [view.superseded, view.corrects])
    if (text) sheet.paragraph(text, { font: "bold", size: 10, colour: colours.fail }, { after: 6 });
}

const codeSide = 100;

/** The facts, with the code of the record beside them. */
function drawFacts(sheet: PdfSheet, view: CertificateView): void {
  const labelWidth = 92;
  const width = sheet.width - labelWidth - codeSide - 8;
  sheet.ensure(codeSide);
  const top = sheet.y;
  sheet.qr(recordQr(view.proof.hash), sheet.left + sheet.width - codeSide, top, codeSide);
  for (const { label, value } of view.facts) {
    const lines = sheet.wrap(value, width, { ...body, font: "bold" });
    sheet.ensure(lines.length * sheet.lineHeight(body));
    sheet.writeAt([label], sheet.left, sheet.y, labelWidth, { ...body, colour: "#444444" });
    sheet.writeAt(lines, sheet.left + labelWidth, sheet.y, width, { ...body, font: "bold" });
    sheet.y += lines.length * sheet.lineHeight(body) + 1;
  }
  sheet.y = Math.max(sheet.y, top + codeSide) + 4;
}

const marks = { good: "✓", bad: "✗", open: "–" } as const;

function drawRows(sheet: PdfSheet, rows: readonly CertificateRow[], voltsTitle: string): void {
  pdfTable(
    sheet,
    [
      { title: "Pin", share: 0.55, align: "left" },
      { title: "Circuit", share: 1.9, align: "left" },
      { title: "Expected, A", share: 1.3, align: "right" },
      { title: "Measured, A", share: 1.3, align: "right" },
      { title: voltsTitle, share: 1, align: "right" },
      { title: "Result", share: 2.5, align: "left" },
    ],
    rows.map((row) => [
      { text: row.pin, bold: true },
      { text: row.circuit },
      { text: row.expected },
      { text: row.measured },
      { text: row.volts },
      { text: `${marks[row.state]} ${row.result}`, bold: true, colour: colours[row.state] },
    ]),
  );
}

function drawProof(sheet: PdfSheet, view: CertificateView): void {
  const hash = (view.proof.hash.match(/.{1,8}/g) ?? []).join(" ");
  section(sheet, "Proof");
  sheet.paragraph(`Record ${view.proof.number} of signer ${view.proof.signerName}. SHA-256 ${hash}`, small, {
    after: 1,
  });
  sheet.paragraph(view.proof.explanation, small);
}

/** A record as a certificate that a customer can read: what was tested, figures against expectation, verdict, what is left open. */
export async function certificatePdf(
  saved: Pick<SavedRecord, "record" | "hash">,
  options: CertificateOptions = {},
): Promise<Buffer> {
  const { record, hash } = saved;
  const view = certificateView({ record, hash, correctedBy: options.correctedBy ?? null });
  const american = /^(America|US|Canada)\//.test(record.zone);
  const sheet = new PdfSheet({
    size: options.paper ?? (american ? "LETTER" : "A4"),
    margin: 40,
    title: `${view.title}, ${record.subject.serial}`,
    createdAt: new Date(record.savedAt),
    footerHeight,
  });
  drawHead(sheet, view);
  drawFacts(sheet, view);
  section(sheet, "Results");
  drawRows(sheet, view.rows, view.voltsTitle);
  if (view.reasons.length > 0) list(sheet, view.reasons);
  section(sheet, "What was tested");
  list(sheet, view.tested);
  section(sheet, "What is left open");
  list(sheet, view.open.length > 0 ? view.open : ["Nothing of what this test can judge."]);
  if (view.answers.length > 0) {
    section(sheet, "Asked and answered");
    list(
      sheet,
      view.answers.map(({ question, answer }) => `${question} – ${answer}`),
    );
  }
  if (view.notes) {
    section(sheet, "Notes");
    sheet.paragraph(view.notes, body);
  }
  section(sheet, "Please note");
  list(sheet, view.cautions, small);
  drawProof(sheet, view);
  await drawPhotos(sheet, view.photos, options.photo);
  drawMissing(sheet);
  return sheet.finish((page, pages) => {
    const text = `Record ${view.proof.number} · ${hash.slice(0, 16)}… · saved ${timeInZone(record.savedAt, record.zone)} · page ${page} of ${pages}`;
    sheet.footer(text, small);
  });
}

/** Letters that the font lacks are told, so that nobody takes the sheet for the whole of it. */
function drawMissing(sheet: PdfSheet): void {
  if (sheet.missing.length === 0) return;
  const named = sheet.missing
    .slice(0, 40)
    .map((letter) => `U+${(letter.codePointAt(0) ?? 0).toString(16).toUpperCase().padStart(4, "0")}`);
  const more = sheet.missing.length > named.length ? ` and ${sheet.missing.length - named.length} more` : "";
  sheet.paragraph(
    `▯ stands for a letter that the font of this sheet does not have; the record and its printable page have it in full (${named.join(" ")}${more}).`,
    small,
  );
}
