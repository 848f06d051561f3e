/** Text of a record for a terminal: what could move the cursor, colour the screen or turn the line around is shown as a mark. */
export function shownText(text: string): string {
  return text.replace(/[\p{Control}\p{Surrogate}\u202a-\u202e\u2066-\u2069]/gu, (sign) =>
    sign === "\n" ? sign : "\uFFFD",
  );
}

/** The same in one line. */
export function shownLine(text: string | null | undefined): string {
  return shownText(text ?? "").replaceAll("\n", " ");
}
