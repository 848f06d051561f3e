import type { PdfSheet, TextStyle } from "./pdf-sheet.js";

export interface PdfColumn {
  readonly title: string;
  /** Share of the sheet's width. */
  readonly share: number;
  readonly align: "left" | "right";
}

export interface PdfCell {
  readonly text: string;
  readonly colour?: string;
  readonly bold?: boolean;
}

const size = 9.5;
const padding = 5;
const titleStyle: TextStyle = { font: "bold", size: 8.5, colour: "#444444" };

function styleOf(cell: PdfCell, column: PdfColumn): TextStyle {
  return { font: cell.bold ? "bold" : "plain", size, colour: cell.colour ?? "#1a1a1a", align: column.align };
}

/** A table whose rows stay whole; its titles come again on every page. */
export function pdfTable(sheet: PdfSheet, columns: readonly PdfColumn[], rows: readonly (readonly PdfCell[])[]): void {
  const shares = columns.reduce((sum, { share }) => sum + share, 0);
  const widths = columns.map(({ share }) => (share / shares) * sheet.width);
  const lefts = widths.map((_, index) => sheet.left + widths.slice(0, index).reduce((sum, width) => sum + width, 0));
  const line = (colour: string): void => {
    sheet.doc
      .moveTo(sheet.left, sheet.y)
      .lineTo(sheet.left + sheet.width, sheet.y)
      .lineWidth(0.6)
      .stroke(colour);
  };
  const row = (cells: readonly { lines: readonly string[]; style: TextStyle }[], height: number): void => {
    cells.forEach(({ lines, style }, index) => {
      const inner = (widths[index] ?? 0) - 2 * padding;
      sheet.writeAt(lines, (lefts[index] ?? 0) + padding, sheet.y + padding, inner, style);
    });
    sheet.y += height;
  };
  const laidOut = (cells: readonly PdfCell[], style: (index: number) => TextStyle) => {
    const parts = cells.map((cell, index) => ({
      lines: sheet.wrap(cell.text, (widths[index] ?? 0) - 2 * padding, style(index)),
      style: style(index),
    }));
    const height = Math.max(...parts.map((part) => part.lines.length * sheet.lineHeight(part.style))) + 2 * padding;
    return { parts, height };
  };
  const titles = laidOut(
    columns.map(({ title }) => ({ text: title })),
    (index) => ({ ...titleStyle, align: columns[index]?.align ?? "left" }),
  );
  const head = (): void => {
    row(titles.parts, titles.height);
    line("#444444");
  };
  sheet.ensure(titles.height + 40);
  head();
  for (const cells of rows) {
    const { parts, height } = laidOut(cells, (index) =>
      styleOf(cells[index] ?? { text: "" }, columns[index] ?? { title: "", share: 1, align: "left" }),
    );
    if (sheet.room < height) {
      sheet.newPage();
      head();
    }
    row(parts, height);
    line("#d5d5d5");
  }
  sheet.y += 8;
}
