/** The C side: constants, enumerations and X-macro tables, so that the firmware puts the strings where it likes (flash). */
const letters = { u8: "b", u16: "w", u32: "l", i16: "i", x16: "x", text: "t", packed: "p" };

export function headerFrom(model) {
  const { line, board, wordLists, requests, pushes, refusals } = model;
  const letter = (f) => {
    const word = wordLists.findIndex((w) => f.base === `word:${w.name}`);
    return word >= 0 ? String(word) : f.list ? letters[f.base].toUpperCase() : letters[f.base];
  };
  const format = (fields) => `"${fields.map(letter).join("")}"`;
  const constant = (name, value, doc) => `#define PW_${name} ${value}${doc ? ` /* ${doc} */` : ""}`;
  const table = (name, rows) =>
    [`#define ${name}(X) \\`, rows.map((row) => `  X(${row})`).join(" \\\n"), ""].join("\n");
  const most = (numbers) => Math.max(0, ...numbers);

  let first = 0;
  const requestRows = requests.map((r) => {
    const row = [
      id(r.name),
      `"${r.name}"`,
      first,
      r.fields.length,
      Number(r.outputs),
      Number(r.repeatable),
      format(r.reply),
    ];
    first += r.fields.length;
    return row.join(", ");
  });
  const fieldRows = requests.flatMap((r) =>
    r.fields.map((f) => [`PW_${id(r.name)}_${id(f.name)}`, `'${letter(f)}'`, f.min, f.max].join(", ")),
  );
  const positions = requests
    .filter((r) => r.fields.length > 0)
    .map((r) => `enum { ${r.fields.map((f, at) => `PW_${id(r.name)}_${id(f.name)} = ${at}`).join(", ")} };`);
  const enumeration = (name, ids) => `enum ${name} { ${ids.map((one, at) => `${one} = ${at}`).join(", ")} };`;

  return `/* Made from protocol.json by generate.mjs. Change the table, not this file. */
#ifndef PINWALK_GENERATED_PROTOCOL_H
#define PINWALK_GENERATED_PROTOCOL_H

${constant("PROTOCOL_VERSION", model.protocol)}
${constant("FIRMWARE_VERSION", `"${model.firmware}"`)}
${constant("BAUD", `${model.baud}UL`)}
${constant("MAX_REQUEST_BYTES", line.maxRequestBytes, "before the line feed, a carriage return counted")}
${constant("MAX_REPLY_BYTES", line.maxReplyBytes, "before the line feed")}
${Object.entries(line.marks)
  .map(([name, mark]) => constant(`MARK_${id(name)}`, `'${mark}'`))
  .join("\n")}
${constant("CHANNELS", board.channels)}
${constant("DRIVE_CHANNELS", board.driveChannels)}
${constant("LONGEST_TEXT", model.longestText)}
${constant("LONGEST_VERB", most(requests.map((r) => r.name.length)))}
${constant("MOST_REQUEST_FIELDS", most(requests.map((r) => r.fields.length)))}

/* Timing and limits, the unit in the name. */
${Object.entries(model.timing)
  .map(([name, value]) => constant(id(name), value))
  .join("\n")}

/* Type letters: b u8, w u16, l u32, i i16, x x16, t text, p packed windows, I list of i16 (\`-\` for unmeasured), and a digit for a word of
 * the list with that number: ${wordLists.map((w, at) => `${at} ${w.name}`).join(", ")}. */

/* Words. X(ID, "word"), in the order of their enumeration. */
${wordLists
  .map(({ name, words }) => {
    const wordId = (w) => `PW_${id(name)}_${id(w)}`;
    return [
      enumeration(`pw_${name}`, words.map(wordId)),
      table(
        `PW_WORDS_${id(name)}`,
        words.map((w) => `${wordId(w)}, "${w}"`),
      ),
    ].join("\n");
  })
  .join("\n")}
/* X(ID, number of words, rows macro) for each word list. */
${table(
  "PW_WORD_LISTS",
  wordLists.map((w) => `${id(w.name)}, ${w.words.length}, PW_WORDS_${id(w.name)}`),
)}
/* Requests. X(ID, "verb", first row in PW_REQUEST_FIELDS, number of fields, touches outputs, repeatable, reply letters) */
${enumeration(
  "pw_request",
  requests.map((r) => `PW_REQUEST_${id(r.name)}`),
)}
#define PW_REQUEST_COUNT ${requests.length}
${table("PW_REQUESTS", requestRows)}
/* Their fields, one after another. X(POSITION, type letter, smallest, greatest); a word's value is its number. */
#define PW_REQUEST_FIELD_COUNT ${fieldRows.length}
${table("PW_REQUEST_FIELDS", fieldRows)}
/* Where a field stands in its request. */
${positions.join("\n")}

/* Pushes. X(ID, "name", field letters) */
${enumeration(
  "pw_push",
  pushes.map((p) => `PW_PUSH_${id(p.name)}`),
)}
${table(
  "PW_PUSHES",
  pushes.map((p) => `${id(p.name)}, "${p.name}", ${format(p.fields)}`),
)}
/* Refusals. X(ID, "code", field letters) */
${enumeration(
  "pw_refusal",
  refusals.map((r) => `PW_REFUSAL_${id(r.code)}`),
)}
${table(
  "PW_REFUSALS",
  refusals.map((r) => `${id(r.code)}, "${r.code}", ${format(r.fields)}`),
)}
#endif
`;
}

/** `tripTime` and `not-armed` become TRIP_TIME and NOT_ARMED. */
function id(name) {
  return name
    .replace(/([a-z0-9])([A-Z])/g, "$1_$2")
    .replace(/-/g, "_")
    .toUpperCase();
}
