/** A Markdown table with its columns aligned, as the formatter of this repository leaves it. `right`: columns set to the right. */
export function markdownTable(head, rows, right = []) {
  const widths = head.map((title, column) =>
    Math.max(3, ...[title, ...rows.map((row) => row[column])].map((cell) => [...cell].length)),
  );
  const isRight = (column) => right.includes(column);
  const padded = (cell, column) => {
    const space = " ".repeat(widths[column] - [...cell].length);
    return isRight(column) ? space + cell : cell + space;
  };
  const rule = widths.map((width, column) => (isRight(column) ? `${"-".repeat(width - 1)}:` : "-".repeat(width)));
  return [head.map(padded), rule, ...rows.map((row) => row.map(padded))].map((cells) => `| ${cells.join(" | ")} |`);
}
