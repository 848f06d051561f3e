import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import jsQR from "jsqr";

/** True where poppler's tools are installed; without them certificates cannot be read back. */
export const hasPoppler = spawnSync("pdftotext", ["-v"]).error === undefined;

function withFile<T>(pdf: Buffer, work: (path: string, folder: string) => T): T {
  const folder = mkdtempSync(join(tmpdir(), "pinwalk-pdf-"));
  try {
    const path = join(folder, "file.pdf");
    writeFileSync(path, pdf);
    return work(path, folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** The text of a PDF as a reader would copy it, laid out in lines. */
export function textOf(pdf: Buffer): string {
  return withFile(pdf, (path) =>
    execFileSync("pdftotext", ["-layout", "-enc", "UTF-8", path, "-"], { encoding: "utf8" }),
  );
}

export interface PlacedWord {
  readonly page: number;
  readonly text: string;
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

export interface PlacedPage {
  readonly width: number;
  readonly height: number;
}

/** Every word with its place in points, and the pages' sizes. */
export function placesOf(pdf: Buffer): {
  readonly pages: readonly PlacedPage[];
  readonly words: readonly PlacedWord[];
} {
  const xml = withFile(pdf, (path) =>
    execFileSync("pdftotext", ["-bbox", "-enc", "UTF-8", path, "-"], { encoding: "utf8" }),
  );
  const pages: PlacedPage[] = [];
  const words: PlacedWord[] = [];
  for (const match of xml.matchAll(
    /<page width="([\d.]+)" height="([\d.]+)">|<word xMin="(-?[\d.]+)" yMin="(-?[\d.]+)" xMax="(-?[\d.]+)" yMax="(-?[\d.]+)">([^<]*)</g,
  )) {
    const [, width, height, left, top, right, bottom, text] = match;
    if (width !== undefined) pages.push({ width: Number(width), height: Number(height) });
    else
      words.push({
        page: pages.length,
        text: text ?? "",
        left: Number(left),
        top: Number(top),
        right: Number(right),
        bottom: Number(bottom),
      });
  }
  return { pages, words };
}

/** What the QR code on a page says, found on the page as printed at 200 dots an inch; undefined if none can be read. */
export function qrOf(pdf: Buffer, page: number): string | undefined {
  return withFile(pdf, (path, folder) => {
    execFileSync("pdftoppm", [
      "-r",
      "200",
      "-f",
      String(page),
      "-l",
      String(page),
      "-singlefile",
      path,
      join(folder, "page"),
    ]);
    const ppm = readFileSync(join(folder, "page.ppm"));
    const head = /^P6\s+(\d+)\s+(\d+)\s+255\s/.exec(ppm.toString("latin1", 0, 40));
    if (!head) throw new Error("no page image");
    const [width, height] = [Number(head[1]), Number(head[2])];
    const pixels = new Uint8ClampedArray(width * height * 4).fill(255);
    for (let index = 0; index < width * height; index++)
      for (let channel = 0; channel < 3; channel++)
        pixels[index * 4 + channel] = ppm[head[0].length + index * 3 + channel] ?? 0;
    return jsQR.default(pixels, width, height)?.data;
  });
}
