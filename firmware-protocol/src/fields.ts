import { channels, type FieldSpec, words } from "./generated/protocol.js";
import { hexOf } from "./line-seal.js";

export type FieldValue = number | string | readonly (number | undefined)[];
export type FieldValues = Readonly<Record<string, FieldValue>>;

export type ParsedFields =
  | { readonly kind: "fields"; readonly values: FieldValues }
  | { readonly kind: "form" }
  /** `field` counts from 0. */
  | { readonly kind: "range"; readonly field: number };

type ParsedField = { readonly value: FieldValue; readonly inRange: boolean };

const textForm = /^[A-Za-z0-9.-]+$/;
const unmeasured = "-";
const packedCharacters = 7;

/** Reads fields as strictly as the bench does: the form of all of them first, then the range of each. */
export function parseFields(specs: readonly FieldSpec[], tokens: readonly string[]): ParsedFields {
  const values: Record<string, FieldValue> = {};
  let outside: number | undefined;
  let next = 0;
  for (const [at, spec] of specs.entries()) {
    const own = tokens.slice(next, next + (spec.list ? channels : 1));
    next += own.length;
    const parsed = spec.list ? parseList(spec, own) : parseOne(spec, own[0]);
    if (!parsed) return { kind: "form" };
    if (!parsed.inRange) outside ??= at;
    values[spec.name] = parsed.value;
  }
  if (next !== tokens.length) return { kind: "form" };
  return outside === undefined ? { kind: "fields", values } : { kind: "range", field: outside };
}

/** Writes fields with a space before each. Throws RangeError for a value that the field cannot carry: the caller's mistake. */
export function formatFields(specs: readonly FieldSpec[], values: FieldValues): string {
  return specs.map((spec) => ` ${formatField(spec, values[spec.name])}`).join("");
}

function parseOne(spec: FieldSpec, token: string | undefined): ParsedField | undefined {
  if (token === undefined) return undefined;
  if (spec.type === "text") {
    return textForm.test(token) && token.length <= spec.max ? { value: token, inRange: true } : undefined;
  }
  if (spec.type === "packed") {
    const whole = token.length % packedCharacters === 0 && token.length <= spec.max;
    return textForm.test(token) && whole ? { value: token, inRange: true } : undefined;
  }
  const list = wordList(spec);
  if (list) return list.includes(token) ? { value: token, inRange: true } : undefined;
  const value = parseNumber(spec, token);
  return value === undefined ? undefined : { value, inRange: value >= spec.min && value <= spec.max };
}

function parseNumber(spec: FieldSpec, token: string): number | undefined {
  if (spec.type === "x16") return /^[0-9A-F]{4}$/.test(token) ? Number.parseInt(token, 16) : undefined;
  const form = spec.type === "i16" ? /^(0|-?[1-9][0-9]*)$/ : /^(0|[1-9][0-9]*)$/;
  return form.test(token) ? Number(token) : undefined;
}

function parseList(spec: FieldSpec, tokens: readonly string[]): ParsedField | undefined {
  if (tokens.length !== channels) return undefined;
  const value: (number | undefined)[] = [];
  let inRange = true;
  for (const token of tokens) {
    const number = token === unmeasured ? undefined : parseNumber(spec, token);
    if (number === undefined && token !== unmeasured) return undefined;
    if (number !== undefined && (number < spec.min || number > spec.max)) inRange = false;
    value.push(number);
  }
  return { value, inRange };
}

function formatField(spec: FieldSpec, value: FieldValue | undefined): string {
  const token = tokenFor(spec, value);
  if (token === undefined) throw new RangeError(`field ${spec.name} cannot carry ${String(value)}`);
  return token;
}

function tokenFor(spec: FieldSpec, value: FieldValue | undefined): string | undefined {
  if (spec.list) {
    if (!Array.isArray(value) || value.length !== channels) return undefined;
    const tokens = value.map((one: number | undefined) => (one === undefined ? unmeasured : numberToken(spec, one)));
    return tokens.includes(undefined) ? undefined : tokens.join(" ");
  }
  if (typeof value === "number") return numberToken(spec, value);
  if (typeof value !== "string") return undefined;
  return parseOne(spec, value)?.value === value ? value : undefined;
}

function numberToken(spec: FieldSpec, value: number): string | undefined {
  if (
    !Number.isInteger(value) ||
    value < spec.min ||
    value > spec.max ||
    spec.type === "text" ||
    spec.type === "packed"
  )
    return undefined;
  if (wordList(spec)) return undefined;
  return spec.type === "x16" ? hexOf(value, 4) : String(value);
}

function wordList(spec: FieldSpec): readonly string[] | undefined {
  const [kind, name] = spec.type.split(":");
  return kind === "word" ? (words as Readonly<Record<string, readonly string[]>>)[name ?? ""] : undefined;
}
