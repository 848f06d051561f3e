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

/** A document with every text in it made fit for a terminal, so that what is built from it may be coloured afterwards. */
export function shownDocument<T>(value: T): T {
  if (typeof value === "string") return shownText(value) as T;
  if (Array.isArray(value)) return value.map((item: unknown) => shownDocument(item)) as T;
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, member]) => [shownText(key), shownDocument(member)])) as T;
}
