/** The TypeScript side: a type for every request, reply, push and refusal, and the table itself as constant data. */
export function typescriptFrom(model) {
  const { line, board, wordLists, requests, pushes, refusals } = model;
  const pascal = (name) => name.charAt(0).toUpperCase() + name.slice(1);
  const typeOf = (f) => {
    const one =
      f.base === "text" || f.base === "packed"
        ? "string"
        : f.base.startsWith("word:")
          ? pascal(f.base.slice(5))
          : "number";
    return f.list ? `readonly (${one} | undefined)[]` : one;
  };
  const note = (f) => [f.unit, f.doc].filter(Boolean).join("; ");
  const shape = (fields) =>
    fields.length === 0
      ? "NoFields"
      : `{ ${fields.map((f) => `${note(f) ? `/** ${note(f)} */ ` : ""}readonly ${f.name}: ${typeOf(f)}`).join("; ")} }`;
  const map = (name, doc, rows) =>
    [
      `/** ${doc} */`,
      `export interface ${name} {`,
      ...rows.map(([key, fields]) => `  readonly "${key}": ${shape(fields)};`),
      "}",
    ].join("\n");
  const spec = (f) =>
    `{ name: "${f.name}", type: "${f.base}"${f.list ? ", list: true" : ""}, min: ${f.min}, max: ${f.max} }`;
  const specs = (fields) => `[${fields.map(spec).join(", ")}]`;

  return `// Made from protocol.json by generate.mjs. Change the table, not this file.

export const protocolVersion = ${model.protocol};
export const firmwareVersion = "${model.firmware}";
export const baud = ${model.baud};
/** Bytes before the line feed. */
export const maxRequestBytes = ${line.maxRequestBytes};
/** Bytes before the line feed. */
export const maxReplyBytes = ${line.maxReplyBytes};
export const longestText = ${model.longestText};
export const channels = ${board.channels};
export const driveChannels = ${board.driveChannels};
export const marks = ${JSON.stringify(line.marks)} as const;
/** Milliseconds, milliamps and millivolts, as the names say. */
export const timing = ${JSON.stringify(model.timing, null, 2)} as const;

export const words = ${JSON.stringify(model.words)} as const;
${wordLists.map((w) => `export type ${pascal(w.name)} = (typeof words.${w.name})[number];`).join("\n")}

export type NoFields = Readonly<Record<never, never>>;

export type FieldType =
  | ${["u8", "u16", "u32", "i16", "x16", "text", "packed", ...wordLists.map((w) => `word:${w.name}`)].map((t) => `"${t}"`).join(" | ")};

/** One field: for numbers its range, for a text its length, for a word the range of its place in the list. */
export interface FieldSpec {
  readonly name: string;
  readonly type: FieldType;
  readonly list?: true;
  readonly min: number;
  readonly max: number;
}

export interface RequestSpec {
  readonly fields: readonly FieldSpec[];
  readonly reply: readonly FieldSpec[];
  /** Whether asking twice does no harm. */
  readonly repeatable: boolean;
  /** Whether it switches outputs: refused, it turns everything off. */
  readonly outputs: boolean;
}

${map(
  "RequestFields",
  "What goes with each request.",
  requests.map((r) => [r.name, r.fields]),
)}

${map(
  "ReplyFields",
  "What comes back.",
  requests.map((r) => [r.name, r.reply]),
)}

${map(
  "PushFields",
  "What the bench says unasked.",
  pushes.map((p) => [p.name, p.fields]),
)}

${map(
  "RefusalFields",
  "What goes with each refusal.",
  refusals.map((r) => [r.code, r.fields]),
)}

export type RequestName = keyof RequestFields;
export type PushName = keyof PushFields;
export type RefusalCode = keyof RefusalFields;

export const requests: Readonly<Record<RequestName, RequestSpec>> = {
${requests
  .map(
    (r) =>
      `  // ${r.doc}\n  "${r.name}": { fields: ${specs(r.fields)}, reply: ${specs(r.reply)}, repeatable: ${r.repeatable}, outputs: ${r.outputs} },`,
  )
  .join("\n")}
};

export const pushes: Readonly<Record<PushName, readonly FieldSpec[]>> = {
${pushes.map((p) => `  // ${p.doc}\n  "${p.name}": ${specs(p.fields)},`).join("\n")}
};

export const refusals: Readonly<Record<RefusalCode, readonly FieldSpec[]>> = {
${refusals.map((r) => `  // ${r.doc}\n  "${r.code}": ${specs(r.fields)},`).join("\n")}
};
`;
}
