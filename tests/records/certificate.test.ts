import type { Job } from "@pinwalk/host/records/record-schema.js";
import { labelPdf, labelSvg } from "@pinwalk/host/records/report/cable-label.js";
import { certificatePdf } from "@pinwalk/host/records/report/certificate-pdf.js";
import { printedWords } from "@pinwalk/host/records/report/line-order.js";
import { printablePage } from "@pinwalk/host/records/report/printable-page.js";
import { qrText } from "@pinwalk/host/records/report/record-qr.js";
import { timeInZone } from "@pinwalk/host/records/report/record-time.js";
import { describe, expect, it } from "vitest";
import { makePng, smallJpeg, smallWebp } from "./pictures.js";
import { hasPoppler, type PlacedWord, placesOf, qrOf, textOf } from "./read-pdf.js";
import { cableJob, emptyStore, vehicleJob } from "./sample-job.js";

async function kept(job: Job, photos: readonly Buffer[] = []) {
  const store = await emptyStore();
  const { hash } = await store.keep({
    job,
    photos: photos.map((data, index) => ({ data, caption: `Photo number ${index + 1}` })),
  });
  const saved = await store.record(hash);
  return { saved, options: { photo: async (sha256: string) => (await store.photo(sha256))?.data } };
}

const overlap = (a: PlacedWord, b: PlacedWord): boolean =>
  a.page === b.page &&
  Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1 &&
  // Line boxes reach a little into each other; letters on letters share half a line.
  Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 0.5 * Math.min(a.bottom - a.top, b.bottom - b.top);

function expectToFit(pdf: Buffer): void {
  const { pages, words } = placesOf(pdf);
  for (const word of words) {
    const page = pages[word.page - 1];
    expect(word.left, word.text).toBeGreaterThanOrEqual(0);
    expect(word.right, word.text).toBeLessThanOrEqual(page?.width ?? 0);
    expect(word.bottom, word.text).toBeLessThanOrEqual(page?.height ?? 0);
  }
  expect(words.length).toBeGreaterThan(3);
  const collisions = words.flatMap((word, index) =>
    words.slice(index + 1).flatMap((other) => (overlap(word, other) ? [`${word.text} on ${other.text}`] : [])),
  );
  expect(collisions).toEqual([]);
}

/** Everything at its longest, in several scripts, with signs that no font has. */
const crowded: Job = {
  ...cableJob,
  shop: "W".repeat(120),
  customer: "محمد العربي עברית Žofie 张伟",
  subject: { kind: "cable", serial: "W".repeat(64), description: "Ω ".repeat(59).trim() },
  notes: `${"word ".repeat(900)}\n${"W".repeat(800)}\n<script>alert(1)</script> & "quotes" 😀`,
  answers: Array.from({ length: 40 }, (_, index) => ({
    question: `Question ${index} ${"?".repeat(200)}`,
    answer: "yes",
  })),
};

describe.skipIf(!hasPoppler)("A certificate, read back", () => {
  it("tells what was tested, figures against expectation, the verdict, what is left open, and cautions", async () => {
    const { saved } = await kept(vehicleJob);
    const text = textOf(await certificatePdf(saved));
    for (const part of [
      "FAIL",
      "KX-4471-QB",
      "Ann Miller",
      "R. Calder",
      "Riverbend Tow Wiring",
      "Alder Creek loan hatchback (12 V)",
    ])
      expect(text).toContain(part);
    for (const circuit of saved.record.findings.circuits) {
      const line = text.split("\n").find((one) => one.trim().startsWith(`${circuit.pin} `)) ?? "";
      expect(line).toContain(`${circuit.expected?.low.toFixed(2)} to ${circuit.expected?.high.toFixed(2)}`);
      expect(line).toContain(`${circuit.measured?.amps?.toFixed(2)} ±`);
      expect(line).toContain(circuit.verdict === "open" ? "no connection" : "as planned");
    }
    expect(text).toMatch(/What was tested[\s\S]*3 circuits were fed in turn with 12\.9 V/);
    expect(text).toMatch(/What is left open[\s\S]*LT and RT carry equal loads/);
    expect(text).toMatch(/does not replace the inspection/);
    expect(text.replace(/\s/g, "")).toContain(saved.hash);
  });

  it("carries a QR code that says the record's hash, on paper of the record's part of the world", async () => {
    const { saved } = await kept(vehicleJob);
    const american = { ...saved, record: { ...saved.record, zone: "America/Denver" } };
    const pdf = await certificatePdf(american);
    const { pages } = placesOf(pdf);
    expect(pages[0]).toEqual({ width: 612, height: 792 });
    expect(placesOf(await certificatePdf(saved, { paper: "A4" })).pages[0]?.width).toBeCloseTo(595.28, 1);
    expect(pages.map((_, index) => qrOf(pdf, index + 1)).find((text) => text !== undefined)).toBe(qrText(saved.hash));
  });

  it("is one page for an ordinary pass, and says so on it", async () => {
    const circuits = vehicleJob.findings.circuits.map((one) => ({ ...one, verdict: "pass" as const, reason: "" }));
    const pass = {
      ...vehicleJob,
      answers: [],
      findings: { ...vehicleJob.findings, overall: "pass" as const, circuits },
    };
    const pdf = await certificatePdf((await kept(pass)).saved);
    expect(textOf(pdf)).toContain("PASS");
    expect(textOf(pdf)).toContain("page 1 of 1");
    expectToFit(pdf);
  });

  it("fits its pages and sets no word on another, however long and strange everything is", async () => {
    const { saved, options } = await kept(crowded, [smallJpeg, makePng(700, 90), smallWebp, makePng(60, 900)]);
    const pdf = await certificatePdf(saved, options);
    expectToFit(pdf);
    const text = textOf(pdf);
    expect(text).toContain("<script>alert(1)</script>");
    expect(text).toContain("Photo number 4");
    expect(text).toMatch(/not printed here/);
  });

  it("prints names of other scripts, and tells of letters that it cannot print", async () => {
    const { saved } = await kept({ ...vehicleJob, customer: "Žofie Ελένη Петров 张伟" });
    const text = textOf(await certificatePdf(saved));
    expect(text).toContain("Žofie Ελένη Петров ▯▯");
    expect(text).toContain("U+5F20 U+4F1F");
  });

  it("says on its face that a later record puts it right", async () => {
    const { saved } = await kept(vehicleJob);
    const text = textOf(await certificatePdf(saved, { correctedBy: "ab".repeat(32) }));
    expect(text).toMatch(/put right by a later one/);
  });

  it("is the same file for the same record", async () => {
    const { saved } = await kept(vehicleJob);
    const [one, two] = [await certificatePdf(saved), await certificatePdf(saved)];
    expect(textOf(one)).toBe(textOf(two));
    expect(one.equals(two)).toBe(true);
  });

  it("becomes a label of its exact size, with serial number, verdict, day and the code", async () => {
    const { saved } = await kept({ ...cableJob, subject: { kind: "cable", serial: "CABLE-000123" } });
    const pdf = await labelPdf(saved);
    const { pages } = placesOf(pdf);
    expect(pages).toHaveLength(1);
    expect(pages[0]?.width).toBeCloseTo((62 / 25.4) * 72, 1);
    expect(textOf(pdf)).toMatch(/CABLE-000123[\s\S]*FAIL 2026-11-20/);
    expect(qrOf(pdf, 1)).toBe(qrText(saved.hash));
    expectToFit(pdf);
    expectToFit(await labelPdf((await kept(crowded)).saved));
  });
});

describe("A printable page", () => {
  it("holds what the certificate holds, as text and never as markup", async () => {
    const hostile = { ...crowded, customer: `"><img src=x onerror=alert(1)>`, answers: [] };
    const { saved, options } = await kept(hostile, [smallJpeg]);
    const page = await printablePage(saved, options);
    expect(page).not.toMatch(/<script/);
    expect(page).not.toMatch(/<img src=x/);
    expect(page).toContain("&lt;script&gt;alert(1)&lt;/script&gt;");
    expect(page).toContain("swapped with another");
    expect(page).toContain(saved.hash);
    expect(page.match(/<img /g)).toHaveLength(1);
    expect(page).toContain("default-src 'none'");
    expect(page).not.toMatch(/https?:\/\//);
  });
});

describe("A label as SVG", () => {
  it("is well-formed whatever the serial number is", async () => {
    const { saved } = await kept({ ...cableJob, subject: { kind: "cable", serial: `</text><script>"&'` } });
    const svg = labelSvg(saved);
    expect(svg).not.toContain("<script");
    expect(svg).toContain("&lt;/text&gt;&lt;script&gt;&quot;&amp;&#39;");
    expect(svg.match(/<text /g)?.length).toBe(svg.match(/<\/text>/g)?.length);
  });
});

describe("Words and times on paper", () => {
  it("puts words of right-to-left scripts in the order in which they are read", () => {
    expect(printedWords("one two")).toEqual(["one two"]);
    expect(printedWords("שלום עולם")).toEqual(["עולם", "שלום"]);
    expect(printedWords("Ann שלום עולם Lee")).toEqual(["Ann", "עולם", "שלום", "Lee"]);
    expect(printedWords("שלום Ann Lee עולם")).toEqual(["עולם", "Ann", "Lee", "שלום"]);
  });

  it("shows a moment in the record's own zone, with the zone's distance from UTC", () => {
    expect(timeInZone("2026-11-25T23:30:00Z", "Europe/Berlin")).toBe("2026-11-26 00:30 UTC+01:00");
    expect(timeInZone("2026-07-01T03:00:00+00:00", "America/Denver")).toBe("2026-06-30 21:00 UTC-06:00");
    expect(timeInZone("2026-07-01T03:00:00Z", "Nowhere/At_All")).toBe("2026-07-01 03:00 UTC+00:00");
  });
});
