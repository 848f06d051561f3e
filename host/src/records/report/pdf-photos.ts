import type { RecordPhoto } from "../record-schema.js";
import type { PdfSheet, TextStyle } from "./pdf-sheet.js";

/** Gives a photo's bytes by its hash. */
export type PhotoSource = (sha256: string) => Promise<Uint8Array | undefined>;

const caption: TextStyle = { font: "plain", size: 8, colour: "#444444" };
const heading: TextStyle = { font: "bold", size: 11.5 };
const gap = 12;
const mostHeight = 230;

function captionOf(photo: RecordPhoto, note: string): string {
  return `${photo.caption ?? "Photo"} (${photo.width} × ${photo.height}, SHA-256 ${photo.sha256.slice(0, 16)}…)${note}`;
}

/** The page builder's own reader of pictures; its type description leaves it out. */
interface ImageOpener {
  openImage(data: Buffer): { readonly width: number; readonly height: number; readonly orientation?: number };
}

/** Draws a photo the right way up; 0 if it cannot be drawn, else the height that it takes. */
function place(sheet: PdfSheet, data: Uint8Array, x: number, width: number): number {
  try {
    const image = (sheet.doc as unknown as ImageOpener).openImage(Buffer.from(data));
    // Orientations 5 to 8 lie on their side (EXIF 2.3, tag 274).
    const lies = (image.orientation ?? 1) >= 5;
    const [across, down] = lies ? [image.height, image.width] : [image.width, image.height];
    sheet.doc.image(image as unknown as Buffer, x, sheet.y, { fit: [width, mostHeight] });
    return down * Math.min(width / across, mostHeight / down);
  } catch {
    // What the store holds was walked through when it came in, but the page builder has a reader of its own: what that refuses is told.
    return 0;
  }
}

/** The photos, two side by side, each with caption and fingerprint; what cannot be printed is listed. */
export async function drawPhotos(
  sheet: PdfSheet,
  photos: readonly RecordPhoto[],
  source: PhotoSource | undefined,
): Promise<void> {
  if (photos.length === 0) return;
  const width = (sheet.width - gap) / 2;
  sheet.ensure(mostHeight + 60);
  sheet.paragraph("Photos", heading, { after: 4 });
  for (let index = 0; index < photos.length; index += 2) {
    const pair = photos.slice(index, index + 2);
    sheet.ensure(mostHeight + 40);
    let tallest = 0;
    const texts: { lines: readonly string[]; x: number; height: number }[] = [];
    for (const [column, photo] of pair.entries()) {
      const x = sheet.left + column * (width + gap);
      const data = photo.type === "image/webp" ? undefined : await source?.(photo.sha256);
      const height = data ? place(sheet, data, x, width) : 0;
      const note = height > 0 ? "" : ". It is kept with the record, but not printed here.";
      const lines = sheet.wrap(captionOf(photo, note), width, caption);
      texts.push({ lines, x, height });
      tallest = Math.max(tallest, height + lines.length * sheet.lineHeight(caption));
    }
    for (const { lines, x, height } of texts) sheet.writeAt(lines, x, sheet.y + height + 3, width, caption);
    sheet.y += tallest + 12;
  }
}
