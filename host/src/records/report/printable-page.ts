import type { SavedRecord } from "../store/saved-record.js";
import { type CertificateView, certificateView } from "./certificate-view.js";
import { markupText as t } from "./html-text.js";
import type { PhotoSource } from "./pdf-photos.js";
import { pageStyle } from "./printable-page-style.js";
import { qrPath, quietModules, recordQr } from "./record-qr.js";
import { timeInZone } from "./record-time.js";

export interface PrintablePageOptions {
  readonly correctedBy?: string | null;
  readonly photo?: PhotoSource;
}

const marks = { good: "✓", bad: "✗", open: "–" } as const;

function list(title: string, items: readonly string[]): string {
  if (items.length === 0) return "";
  return `<section><h2>${t(title)}</h2><ul>${items.map((item) => `<li><bdi>${t(item)}</bdi></li>`).join("")}</ul></section>`;
}

function table({ rows, voltsTitle }: CertificateView): string {
  const body = rows
    .map(
      (row) =>
        `<tr><th scope="row">${t(row.pin)}</th><td>${t(row.circuit)}</td><td class="n">${t(row.expected)}</td>` +
        `<td class="n">${t(row.measured)}</td><td class="n">${t(row.volts)}</td>` +
        `<td class="${row.state}">${marks[row.state]} ${t(row.result)}</td></tr>`,
    )
    .join("");
  return (
    `<section><h2>Results</h2><table><thead><tr><th>Pin</th><th>Circuit</th><th class="n">Expected, A</th>` +
    `<th class="n">Measured, A</th><th class="n">${t(voltsTitle)}</th><th>Result</th></tr></thead><tbody>${body}</tbody></table></section>`
  );
}

function qrSvg(hash: string): string {
  const modules = recordQr(hash);
  const side = modules.size + 2 * quietModules;
  return (
    `<svg class="qr" viewBox="${-quietModules} ${-quietModules} ${side} ${side}" role="img" aria-label="QR code of the record's hash">` +
    `<rect x="${-quietModules}" y="${-quietModules}" width="${side}" height="${side}" fill="#fff"/><path d="${qrPath(modules)}"/></svg>`
  );
}

async function photos(view: CertificateView, source: PhotoSource | undefined): Promise<string> {
  const figures: string[] = [];
  for (const photo of view.photos) {
    const data = await source?.(photo.sha256);
    const caption = `${photo.caption ?? "Photo"} (SHA-256 ${photo.sha256.slice(0, 16)}…)`;
    const image = data
      ? `<img alt="${t(photo.caption ?? "Photo of the job")}" src="data:${photo.type};base64,${Buffer.from(data).toString("base64")}">`
      : "";
    figures.push(`<figure>${image}<figcaption><bdi>${t(caption)}</bdi></figcaption></figure>`);
  }
  return figures.length === 0 ? "" : `<section><h2>Photos</h2><div class="photos">${figures.join("")}</div></section>`;
}

/**
 * A record as one HTML page that needs nothing else: no script, no request, everything of the record escaped. For
 * printing from a browser, whose fonts have every script.
 */
export async function printablePage(
  saved: Pick<SavedRecord, "record" | "hash">,
  options: PrintablePageOptions = {},
): Promise<string> {
  const { record, hash } = saved;
  const view = certificateView({ record, hash, correctedBy: options.correctedBy ?? null });
  const facts = view.facts.map(({ label, value }) => `<dt>${t(label)}</dt><dd><bdi>${t(value)}</bdi></dd>`).join("");
  const banners = [view.superseded, view.corrects]
    .map((text) => (text ? `<p class="banner">${t(text)}</p>` : ""))
    .join("");
  const answers = view.answers.map(({ question, answer }) => `${question} – ${answer}`);
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width,initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:">
<title>${t(view.title)}, ${t(record.subject.serial)}</title><style>${pageStyle}</style></head><body><main>
<header>${view.shop ? `<p class="shop"><bdi>${t(view.shop)}</bdi></p>` : ""}<h1>${t(view.title)}</h1></header>
<div class="verdict ${view.verdict.overall}"><strong>${t(view.verdict.word)}</strong><p>${t(view.verdict.sentence)}</p></div>
${banners}<dl>${facts}</dl>${table(view)}
${list("Why", view.reasons)}${list("What was tested", view.tested)}
${list("What is left open", view.open.length > 0 ? view.open : ["Nothing of what this test can judge."])}
${list("Asked and answered", answers)}
${view.notes ? `<section><h2>Notes</h2><p class="notes">${t(view.notes)}</p></section>` : ""}
${list("Please note", view.cautions)}
<section class="proof"><h2>Proof</h2>${qrSvg(hash)}<div><p><strong>Record ${view.proof.number} of signer ${t(view.proof.signerName)}</strong></p>
<p class="hash">SHA-256 ${t(hash)}</p><p>${t(view.proof.explanation)}</p><p>Saved ${t(timeInZone(record.savedAt, record.zone))}</p></div></section>
${await photos(view, options.photo)}</main></body></html>
`;
}
