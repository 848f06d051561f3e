export interface TaggedText {
  readonly tag: number;
  readonly name: string;
  readonly tokens: readonly string[];
}

const head = /^.([0-9A-F]{2}) (.*)$/;

/** Mark, tag, space, name, then a space before each field; the mark is the caller's affair. Undefined without tag and space. */
export function splitHead(text: string): TaggedText | undefined {
  const match = head.exec(text);
  if (!match) return undefined;
  const [, tagDigits = "", rest = ""] = match;
  const [name = "", ...tokens] = rest.split(" ");
  return { tag: Number.parseInt(tagDigits, 16), name, tokens };
}
