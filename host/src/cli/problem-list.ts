/** One thing wrong with a document, at a path such as `circuits[2].pin`. */
export interface DocumentProblem {
  readonly path: string;
  readonly message: string;
}

/** Words for a document that cannot be used: the file, every place, what to do. */
export function problemList(file: string, what: string, problems: readonly DocumentProblem[]): string {
  const lines = problems.map(({ path, message }) => `  ${path === "" ? "(whole document)" : path}: ${message}`);
  const places = problems.length === 1 ? "this place" : `these ${problems.length} places`;
  return [`${file}: this ${what} cannot be used.`, ...lines, `Mend ${places} in the file and try again.`].join("\n");
}
