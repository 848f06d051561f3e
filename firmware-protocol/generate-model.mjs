/**
 * Reads the table into the shape that both writers use, and refuses a table that contradicts itself: an unknown type, a
 * name used twice, a range outside its type, a line that could grow past its limit.
 */
const ranges = {
  u8: [0, 255],
  u16: [0, 65_535],
  u32: [0, 4_294_967_295],
  i16: [-32_768, 32_767],
  x16: [0, 65_535],
};
const longestText = 16;

export function modelFrom(table) {
  const wordLists = Object.entries(table.words).map(([name, words]) => ({ name, words }));
  const field = (where) => (raw) => {
    const list = raw.type.endsWith("[]");
    const base = list ? raw.type.slice(0, -2) : raw.type;
    if (base.startsWith("word:")) {
      const words = table.words[base.slice(5)];
      if (!words) fail(`${where}.${raw.name}: no word list ${base}`);
      return { ...raw, base, list, min: 0, max: words.length - 1, widest: Math.max(...words.map((w) => w.length)) };
    }
    if (base === "packed") return { ...raw, base, list, min: 1, widest: raw.max };
    if (base === "text") return { ...raw, base, list, min: 1, max: longestText, widest: longestText };
    const range = ranges[base];
    if (!range) fail(`${where}.${raw.name}: no type ${raw.type}`);
    const [least, most] = range;
    const { min = least, max = most } = raw;
    if (min < least || max > most || min > max)
      fail(`${where}.${raw.name}: range ${min} to ${max} does not fit ${base}`);
    const width = base === "x16" ? 4 : Math.max(String(min).length, String(max).length);
    return { ...raw, base, list, min, max, widest: list ? table.board.channels * (width + 1) - 1 : width };
  };
  const requests = table.requests.map((r) => ({
    ...r,
    fields: r.fields.map(field(r.name)),
    reply: r.reply.map(field(`${r.name} reply`)),
  }));
  const pushes = table.pushes.map((p) => ({ ...p, fields: p.fields.map(field(`~${p.name}`)) }));
  const refusals = table.refusals.map((r) => ({ ...r, fields: r.fields.map(field(`!${r.code}`)) }));

  unique(
    requests.map((r) => r.name),
    "request",
  );
  unique(
    pushes.map((p) => p.name),
    "push",
  );
  unique(
    refusals.map((r) => r.code),
    "refusal",
  );
  for (const { name, words } of wordLists) unique(words, name);
  const { maxRequestBytes, maxReplyBytes } = table.line;
  for (const r of requests) {
    fits(`?TT ${r.name}`, r.fields, maxRequestBytes);
    fits(`=TT ${r.name}`, r.reply, maxReplyBytes);
    for (const f of [...r.fields, ...r.reply.slice(0, -1)])
      if (f.list) fail(`${r.name}.${f.name}: a list comes last, in a reply`);
  }
  for (const p of pushes) fits(`~${p.name}`, p.fields, maxReplyBytes);
  for (const r of refusals) fits(`!TT ${r.code}`, r.fields, maxReplyBytes);
  return { ...table, wordLists, requests, pushes, refusals, longestText };
}

function fits(head, fields, limit) {
  const bytes = fields.reduce((sum, f) => sum + 1 + f.widest, head.length) + "*FFFF".length;
  if (bytes > limit) fail(`${head}: may take ${bytes} bytes, more than ${limit}`);
}

function unique(names, what) {
  const twice = names.find((name, at) => names.indexOf(name) !== at);
  if (twice !== undefined) fail(`${what} ${twice} stands twice`);
}

function fail(message) {
  throw new Error(`protocol.json: ${message}`);
}
