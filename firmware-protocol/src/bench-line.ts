import { type FieldValues, formatFields, parseFields } from "./fields.js";
import {
  marks,
  maxReplyBytes,
  type PushFields,
  type PushName,
  protocolVersion,
  pushes,
  type RefusalCode,
  type RefusalFields,
  type ReplyFields,
  type RequestName,
  refusals,
  requests,
} from "./generated/protocol.js";
import { hexOf, sealLine, unsealLine } from "./line-seal.js";
import { splitHead } from "./tagged-text.js";

export type Reply = {
  [Name in RequestName]: {
    readonly kind: "reply";
    readonly tag: number;
    readonly name: Name;
    readonly fields: ReplyFields[Name];
  };
}[RequestName];

export type Refusal = {
  [Code in RefusalCode]: {
    readonly kind: "refusal";
    readonly tag: number;
    readonly code: Code;
    readonly fields: RefusalFields[Code];
  };
}[RefusalCode];

export type Push = {
  [Name in PushName]: { readonly kind: "push"; readonly name: Name; readonly fields: PushFields[Name] };
}[PushName];

/** `fields`: a good checksum over something that the table does not know. */
export type Garbage = { readonly kind: "garbage"; readonly why: "long" | "form" | "crc" | "fields" };

/** A `hello`, asked for or greeting, of a bench that speaks another version: all that is known of it is the number. */
export type OtherProtocol = { readonly kind: "other-protocol"; readonly protocol: number };

export type BenchLine = Reply | Refusal | Push | OtherProtocol | Garbage;

/** Reads a line of the bench, without its line feed. Never throws. */
export function decodeLine(line: Uint8Array): BenchLine {
  if (line.length > maxReplyBytes) return { kind: "garbage", why: "long" };
  const unsealed = unsealLine(line);
  if (unsealed.kind === "garbled") return { kind: "garbage", why: unsealed.why };
  const { text } = unsealed;
  if (text.startsWith(marks.push)) return decodePush(text.slice(1));
  if (text.startsWith(marks.reply) || text.startsWith(marks.refusal)) return decodeTagged(text);
  return { kind: "garbage", why: "form" };
}

/** The bytes of a reply, line feed included. Throws RangeError for a value that its field cannot carry. */
export function encodeReply<Name extends RequestName>(tag: number, name: Name, fields: ReplyFields[Name]): Uint8Array {
  return sealLine(
    `${marks.reply}${hexOf(tag, 2)} ${name}${formatFields(requests[name].reply, fields as unknown as FieldValues)}`,
  );
}

/** The bytes of a refusal, line feed included. Throws RangeError for a value that its field cannot carry. */
export function encodeRefusal<Code extends RefusalCode>(
  tag: number,
  code: Code,
  fields: RefusalFields[Code],
): Uint8Array {
  return sealLine(
    `${marks.refusal}${hexOf(tag, 2)} ${code}${formatFields(refusals[code], fields as unknown as FieldValues)}`,
  );
}

/** The bytes of a push, line feed included. Throws RangeError for a value that its field cannot carry. */
export function encodePush<Name extends PushName>(name: Name, fields: PushFields[Name]): Uint8Array {
  return sealLine(`${marks.push}${name}${formatFields(pushes[name], fields as unknown as FieldValues)}`);
}

function decodePush(text: string): BenchLine {
  const [name = "", ...tokens] = text.split(" ");
  if (name === "hello" && saysOtherProtocol(tokens)) return { kind: "other-protocol", protocol: Number(tokens[0]) };
  if (!Object.hasOwn(pushes, name)) return { kind: "garbage", why: "fields" };
  const parsed = parseFields(pushes[name as PushName], tokens);
  if (parsed.kind !== "fields") return { kind: "garbage", why: "fields" };
  // The table has just said that these are the fields of this name.
  return { kind: "push", name, fields: parsed.values } as unknown as Push;
}

function decodeTagged(text: string): BenchLine {
  const head = splitHead(text);
  if (!head) return { kind: "garbage", why: "form" };
  const { tag, name, tokens } = head;
  const isReply = text.startsWith(marks.reply);
  if (isReply && name === "hello" && saysOtherProtocol(tokens)) {
    return { kind: "other-protocol", protocol: Number(tokens[0]) };
  }
  if (!Object.hasOwn(isReply ? requests : refusals, name)) return { kind: "garbage", why: "fields" };
  const specs = isReply ? requests[name as RequestName].reply : refusals[name as RefusalCode];
  const parsed = parseFields(specs, tokens);
  if (parsed.kind !== "fields") return { kind: "garbage", why: "fields" };
  // The table has just said that these are the fields of this name.
  return (isReply
    ? { kind: "reply", tag, name, fields: parsed.values }
    : { kind: "refusal", tag, code: name, fields: parsed.values }) as unknown as BenchLine;
}

/** Its other fields may be of any form; what every version has in common stands in PROTOCOL.md. */
function saysOtherProtocol(tokens: readonly string[]): boolean {
  const [protocol = ""] = tokens;
  return /^(0|[1-9][0-9]{0,2})$/.test(protocol) && Number(protocol) <= 255 && Number(protocol) !== protocolVersion;
}
