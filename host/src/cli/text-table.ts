/** One column of a table for people. */
export interface Column {
  readonly title: string;
  readonly align: "left" | "right";
}

/**
 * A plain text table: two spaces between columns, a rule under the titles, no trailing blanks.
 * `paint` may colour a whole cell after it was padded, so that colour codes never shift a column.
 */
export function textTable(
  columns: readonly Column[],
  rows: readonly (readonly string[])[],
  paint: (cell: string, row: number, column: number) => string = (cell) => cell,
): string {
  const widths = columns.map((column, index) =>
    Math.max(column.title.length, ...rows.map((row) => (row[index] ?? "").length)),
  );
  const line = (cells: readonly string[], row: number): string =>
    columns
      .map((column, index) => {
        const cell = cells[index] ?? "";
        const width = widths[index] ?? 0;
        const isLast = index === columns.length - 1;
        const padded = column.align === "right" ? cell.padStart(width) : isLast ? cell : cell.padEnd(width);
        return row < 0 ? padded : paint(padded, row, index);
      })
      .join("  ")
      .trimEnd();
  const titles = columns.map((column) => column.title);
  const rule = widths.map((width) => "-".repeat(width));
  return [line(titles, -1), line(rule, -1), ...rows.map((row, index) => line(row, index))].join("\n");
}
