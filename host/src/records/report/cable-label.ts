import type { SavedRecord } from "../store/saved-record.js";
import { overallWords } from "./circuit-words.js";
import { markupText } from "./html-text.js";
import { PdfSheet } from "./pdf-sheet.js";
import { qrPath, quietModules, recordQr } from "./record-qr.js";
import { dayInZone } from "./record-time.js";

/** Size of a label in millimetres; the default is a common size of label printers (common practice, no source). */
export interface LabelSize {
  readonly widthMm: number;
  readonly heightMm: number;
}

export const usualLabel: LabelSize = { widthMm: 62, heightMm: 29 };

const pointsPerMm = 72 / 25.4;
const marginMm = 1.5;
/** Texts are set smaller to fit, down to this share of their size; what is longer still is cut. */
const leastShare = 0.6;

interface LabelLine {
  readonly text: string;
  readonly mm: number;
  readonly bold: boolean;
  readonly mostLines: number;
}

/** Sets a text so that it fits: smaller first, then on more lines where the line may have them, then cut with an ellipsis. */
function fitted(sheet: PdfSheet, line: LabelLine, widthMm: number): readonly LabelLine[] {
  const width = widthMm * pointsPerMm;
  const styleAt = (mm: number) => ({ font: line.bold ? "bold" : "plain", size: mm * pointsPerMm }) as const;
  const mm = line.mm * Math.min(1, Math.max(leastShare, width / sheet.textWidth(line.text, styleAt(line.mm))));
  const pieces = sheet.wrap(line.text, width + 0.1, styleAt(mm));
  const shown = pieces.slice(0, line.mostLines);
  if (pieces.length > shown.length) {
    const letters = [...(shown.at(-1) ?? "")];
    while (letters.length > 0 && sheet.textWidth(`${letters.join("")}…`, styleAt(mm)) > width) letters.pop();
    shown[shown.length - 1] = `${letters.join("").trimEnd()}…`;
  }
  return shown.map((text) => ({ ...line, mm, text }));
}

function linesOf({ record, hash }: Pick<SavedRecord, "record" | "hash">): readonly LabelLine[] {
  const day = dayInZone(record.readings.takenAt, record.zone);
  return [
    { text: record.subject.serial, mm: 5, bold: true, mostLines: 3 },
    { text: record.plan.name, mm: 2.4, bold: false, mostLines: 2 },
    { text: `${overallWords[record.findings.overall].word} ${day}`, mm: 3, bold: true, mostLines: 1 },
    { text: record.shop ?? "", mm: 2.2, bold: false, mostLines: 1 },
    { text: hash.slice(0, 16), mm: 2.2, bold: false, mostLines: 1 },
  ].filter(({ text }) => text !== "");
}

/** Where things stand on a label: the code on the left, as tall as the label allows, the lines beside it. Millimetres. */
function layout(saved: Pick<SavedRecord, "record" | "hash">, { widthMm, heightMm }: LabelSize) {
  const sheet = new PdfSheet({
    size: [widthMm * pointsPerMm, heightMm * pointsPerMm],
    margin: 0,
    title: saved.record.subject.serial,
    createdAt: new Date(saved.record.savedAt),
  });
  const sideMm = Math.min(heightMm - 2 * marginMm, widthMm * 0.45);
  const textLeftMm = marginMm + sideMm + 1;
  const textWidthMm = widthMm - textLeftMm - marginMm;
  const lines = linesOf(saved).flatMap((line) => fitted(sheet, line, textWidthMm));
  const total = lines.reduce((sum, { mm }) => sum + mm * 1.45, 0);
  let y = (heightMm - total) / 2;
  const placed = lines.map((line) => {
    const top = y;
    y += line.mm * 1.45;
    return { ...line, top };
  });
  return { sheet, sideMm, textLeftMm, textWidthMm, placed };
}

/** The label of a cable as SVG, in millimetres. */
export function labelSvg(saved: Pick<SavedRecord, "record" | "hash">, size: LabelSize = usualLabel): string {
  const { sheet, sideMm, textLeftMm, placed } = layout(saved, size);
  const modules = recordQr(saved.hash);
  const step = sideMm / (modules.size + 2 * quietModules);
  const shiftX = marginMm + quietModules * step;
  const shiftY = (size.heightMm - sideMm) / 2 + quietModules * step;
  const texts = placed
    .map(({ text, mm, bold, top }) => {
      const style = { font: bold ? "bold" : "plain", size: mm * pointsPerMm } as const;
      // The reader's font may be wider than ours: the length holds either way.
      const length = `textLength="${(sheet.textWidth(text, style) / pointsPerMm).toFixed(2)}" lengthAdjust="spacingAndGlyphs"`;
      const weight = bold ? ' font-weight="700"' : "";
      return `<text x="${textLeftMm.toFixed(2)}" y="${(top + mm).toFixed(2)}" font-size="${mm.toFixed(2)}"${weight} ${length}>${markupText(text)}</text>`;
    })
    .join("");
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" width="${size.widthMm}mm" height="${size.heightMm}mm" viewBox="0 0 ${size.widthMm} ${size.heightMm}" font-family="DejaVu Sans Condensed, Arial Narrow, sans-serif">` +
    `<title>${markupText(saved.record.subject.serial)}</title><rect width="100%" height="100%" fill="#fff"/>` +
    `<path transform="translate(${shiftX.toFixed(3)} ${shiftY.toFixed(3)}) scale(${step.toFixed(5)})" d="${qrPath(modules)}"/>${texts}</svg>\n`
  );
}

/** The label of a cable as a PDF of exactly its size. */
export async function labelPdf(
  saved: Pick<SavedRecord, "record" | "hash">,
  size: LabelSize = usualLabel,
): Promise<Buffer> {
  const { sheet, sideMm, textLeftMm, textWidthMm, placed } = layout(saved, size);
  const points = (mm: number): number => mm * pointsPerMm;
  sheet.qr(recordQr(saved.hash), points(marginMm), points((size.heightMm - sideMm) / 2), points(sideMm));
  for (const { text, mm, bold, top } of placed) {
    const style = { font: bold ? "bold" : "plain", size: points(mm) } as const;
    const width = points(textWidthMm);
    sheet.writeAt(sheet.wrap(text, width + 1, style).slice(0, 1), points(textLeftMm), points(top), width, style);
  }
  return sheet.finish(() => undefined);
}
