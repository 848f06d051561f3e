import PDFDocument from "pdfkit";
import { printedWords } from "./line-order.js";
import { type FontName, fontFiles } from "./pdf-fonts.js";
import { type QrModules, quietModules } from "./record-qr.js";

/** How a text is set. Sizes in points. */
export interface TextStyle {
  readonly font: FontName;
  readonly size: number;
  readonly colour?: string;
  readonly align?: "left" | "right";
}

export interface SheetOptions {
  readonly size: "A4" | "LETTER" | readonly [number, number];
  readonly margin: number;
  readonly title: string;
  readonly createdAt: Date;
  /** Kept free at the foot of every page, points. */
  readonly footerHeight?: number;
}

/** What the sheet needs of the embedded font to tell which characters it has. */
interface FontCoverage {
  hasGlyphForCodePoint(codePoint: number): boolean;
}

/** Stands where the font has no letter; what it stands for is told at the end. */
const replacement = "▯";
const lineFactor = 1.3;

/**
 * A PDF in the making: a cursor that runs down the pages, text that is wrapped here (so that it cannot leave its column)
 * and never holds what the font cannot show. Points, from the top left.
 */
export class PdfSheet {
  readonly doc: PDFKit.PDFDocument;
  readonly left: number;
  readonly width: number;
  readonly #bottom: number;
  readonly #missing = new Set<string>();
  y: number;

  constructor({ size, margin, title, createdAt, footerHeight = 0 }: SheetOptions) {
    this.doc = new PDFDocument({
      size: typeof size === "string" ? size : [...size],
      margin,
      bufferPages: true,
      lang: "en",
      displayTitle: true,
      info: { Title: this.#shown(title), Producer: "pinwalk", Creator: "pinwalk", CreationDate: createdAt },
    });
    for (const [name, file] of Object.entries(fontFiles)) this.doc.registerFont(name, file);
    this.left = margin;
    this.width = this.doc.page.width - 2 * margin;
    this.#bottom = this.doc.page.height - margin - footerHeight;
    this.y = margin;
  }

  /** Characters that the font lacks and that were replaced on the sheet so far. */
  get missing(): readonly string[] {
    return [...this.#missing];
  }

  get pages(): number {
    return this.doc.bufferedPageRange().count;
  }

  /** Room left on the page, less what a footer needs. */
  get room(): number {
    return this.#bottom - this.y;
  }

  newPage(): void {
    this.doc.addPage();
    this.y = this.left;
  }

  /** Starts a new page unless so much fits on this one. */
  ensure(height: number): void {
    if (this.room < height) this.newPage();
  }

  lineHeight({ size }: TextStyle): number {
    return size * lineFactor;
  }

  /** How wide a text is in one line, points. */
  textWidth(text: string, { font, size }: TextStyle): number {
    this.doc.font(font).fontSize(size);
    return this.doc.widthOfString(this.#printable(text, font));
  }

  /** Breaks a text into lines of at most `width`; a word that is too long is broken where it has to be. */
  wrap(text: string, width: number, style: TextStyle): readonly string[] {
    this.doc.font(style.font).fontSize(style.size);
    return this.#printable(text, style.font)
      .split("\n")
      .flatMap((line) => this.#wrapLine(line, width));
  }

  /** Writes lines that were wrapped already at a place; the cursor stays. */
  writeAt(lines: readonly string[], x: number, y: number, width: number, style: TextStyle): void {
    this.doc
      .font(style.font)
      .fontSize(style.size)
      .fillColor(style.colour ?? "#1a1a1a");
    lines.forEach((line, index) => {
      const words = printedWords(line);
      const shift = style.align === "right" ? width - this.doc.widthOfString(line) : 0;
      let at = x + shift;
      for (const word of words) {
        this.doc.text(word, at, y + index * this.lineHeight(style), { lineBreak: false });
        at += this.doc.widthOfString(word) + this.doc.widthOfString(" ");
      }
    });
  }

  /** A paragraph over the whole width or a part of it, over as many pages as it needs. */
  paragraph(text: string, style: TextStyle, options: { indent?: number; width?: number; after?: number } = {}): void {
    const { indent = 0, after = 4 } = options;
    const width = options.width ?? this.width - indent;
    for (const line of this.wrap(text, width, style)) {
      this.ensure(this.lineHeight(style));
      this.writeAt([line], this.left + indent, this.y, width, style);
      this.y += this.lineHeight(style);
    }
    this.y += after;
  }

  /** A QR code with its quiet zone in a square of `side` points. */
  qr(modules: QrModules, x: number, y: number, side: number): void {
    const step = side / (modules.size + 2 * quietModules);
    this.doc.save().rect(x, y, side, side).fill("#ffffff");
    for (let row = 0; row < modules.size; row++)
      for (let column = 0; column < modules.size; column++)
        if (modules.isDark(row, column))
          this.doc.rect(x + (column + quietModules) * step, y + (row + quietModules) * step, step, step);
    this.doc.fill("#000000").restore();
  }

  /** Writes one line at the foot of the present page. */
  footer(text: string, style: TextStyle): void {
    const [line = ""] = this.wrap(text, this.width, style);
    const { margins } = this.doc.page;
    const y = this.#bottom + 8;
    // Within the margin the page builder would start another page.
    const bottom = margins.bottom;
    margins.bottom = 0;
    this.writeAt([line], this.left, y, this.width, style);
    margins.bottom = bottom;
  }

  /** Writes something on every page, then gives the file. */
  async finish(onPage: (page: number, pages: number) => void): Promise<Buffer> {
    const pages = this.pages;
    for (let page = 0; page < pages; page++) {
      this.doc.switchToPage(page);
      onPage(page + 1, pages);
    }
    const chunks: Buffer[] = [];
    const done = new Promise<void>((resolve, reject) => {
      this.doc.on("data", (chunk: Buffer) => chunks.push(chunk));
      this.doc.on("end", resolve);
      this.doc.on("error", reject);
    });
    this.doc.end();
    await done;
    return Buffer.concat(chunks);
  }

  #wrapLine(line: string, width: number): readonly string[] {
    const lines: string[] = [];
    let current = "";
    for (const word of line.split(" ")) {
      const candidate = current === "" ? word : `${current} ${word}`;
      if (this.doc.widthOfString(candidate) <= width) {
        current = candidate;
        continue;
      }
      if (current !== "") lines.push(current);
      current = word;
      while (this.doc.widthOfString(current) > width && current.length > 1) {
        const fitting = this.#fittingPart(current, width);
        lines.push(fitting);
        current = current.slice(fitting.length);
      }
    }
    return [...lines, current];
  }

  /** The longest beginning of a word that fits, never cutting a surrogate pair, at least one character. */
  #fittingPart(word: string, width: number): string {
    const letters = [...word];
    let count = letters.length;
    while (count > 1 && this.doc.widthOfString(letters.slice(0, count).join("")) > width)
      count = Math.max(1, Math.min(count - 1, Math.floor(count * 0.9)));
    return letters.slice(0, count).join("");
  }

  /** Drops what has no place on paper: control characters and marks that turn the direction of text. */
  #shown(text: string): string {
    return text
      .replace(/\r\n?/g, "\n")
      .replace(/[\p{Control}\p{Surrogate}\u202a-\u202e\u2066-\u2069]/gu, (sign) => (sign === "\n" ? sign : " "));
  }

  #printable(text: string, font: FontName): string {
    const coverage = this.#coverage(font);
    return [...this.#shown(text).normalize("NFC")]
      .map((letter) => {
        const codePoint = letter.codePointAt(0) ?? 0;
        if (letter === "\n" || /\p{Default_Ignorable_Code_Point}/u.test(letter)) return letter === "\n" ? letter : "";
        if (coverage.hasGlyphForCodePoint(codePoint)) return letter;
        this.#missing.add(letter);
        return replacement;
      })
      .join("");
  }

  #coverage(font: FontName): FontCoverage {
    this.doc.font(font);
    // The page builder keeps its parsed font to itself; there is no public way to ask what it covers.
    const inner = (this.doc as unknown as { _font?: { font?: Partial<FontCoverage> } })._font?.font;
    if (typeof inner?.hasGlyphForCodePoint !== "function")
      throw new Error("the page builder's font cannot be asked for its letters");
    return inner as FontCoverage;
  }
}
