/** Deeper documents than this are refused: a record needs about a dozen levels. */
const mostDepth = 64;

/** A value that has no canonical JSON: not a number, half a surrogate pair, a class instance, nested too deeply. */
export class NotCanonical extends Error {
  constructor(message: string) {
    super(message);
    this.name = "NotCanonical";
  }
}

const halfSurrogate = /\p{Surrogate}/u;

function stringJson(text: string): string {
  // The escape is how JSON.stringify writes half a pair; looking for it first is quicker than looking at every letter.
  const json = JSON.stringify(text);
  if (json.includes("\\ud") && halfSurrogate.test(text))
    throw new NotCanonical("a text holds half of a surrogate pair, which is no Unicode");
  return json;
}

function numberJson(value: number): string {
  if (!Number.isFinite(value)) throw new NotCanonical(`${value} is not a number that JSON can carry`);
  return JSON.stringify(value);
}

function objectJson(value: object, depth: number): string {
  const prototype: unknown = Object.getPrototypeOf(value);
  if (prototype !== Object.prototype && prototype !== null)
    throw new NotCanonical("only plain objects and arrays have a canonical form");
  let members = "";
  // Array.prototype.sort without a comparison orders by UTF-16 code units, which is what section 3.2.3 asks for.
  for (const key of Object.keys(value).sort()) {
    const member: unknown = (value as Record<string, unknown>)[key];
    if (member !== undefined) members += `${members === "" ? "" : ","}${stringJson(key)}:${jsonAt(member, depth + 1)}`;
  }
  return `{${members}}`;
}

function arrayJson(value: readonly unknown[], depth: number): string {
  let items = "";
  for (let index = 0; index < value.length; index++)
    items += `${index === 0 ? "" : ","}${jsonAt(value[index], depth + 1)}`;
  return `[${items}]`;
}

function jsonAt(value: unknown, depth: number): string {
  if (depth > mostDepth) throw new NotCanonical(`nested more than ${mostDepth} levels deep`);
  if (value === null || value === true || value === false) return String(value);
  if (typeof value === "string") return stringJson(value);
  if (typeof value === "number") return numberJson(value);
  if (Array.isArray(value)) return arrayJson(value, depth);
  if (typeof value === "object") return objectJson(value, depth);
  throw new NotCanonical(`a ${typeof value} has no place in JSON`);
}

/**
 * The one text of a JSON value that everybody gets (RFC 8785, JSON Canonicalization Scheme): members in order of their
 * names' UTF-16 code units, numbers as ECMAScript prints them, no blanks. Members that are undefined are left out, as
 * JSON.stringify does. Throws {@link NotCanonical}.
 *
 * `canonicalJson({ b: 1.0, a: [] })` is `{"a":[],"b":1}`.
 */
export function canonicalJson(value: unknown): string {
  return jsonAt(value, 0);
}
