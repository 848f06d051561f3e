import { type FieldValues, formatFields, parseFields } from "./fields.js";
import {
  driveChannels,
  marks,
  maxRequestBytes,
  type RequestFields,
  type RequestName,
  requests,
} from "./generated/protocol.js";
import { hexOf, sealLine, unsealLine } from "./line-seal.js";
import { splitHead } from "./tagged-text.js";

export type Request = {
  [Name in RequestName]: {
    readonly kind: "request";
    readonly tag: number;
    readonly name: Name;
    readonly fields: RequestFields[Name];
  };
}[RequestName];

/** What a bench must make of a line before it looks at its own state. */
export type RequestLine =
  | Request
  | { readonly kind: "refused"; readonly tag: number; readonly code: "verb" | "form"; readonly name: string }
  | {
      readonly kind: "refused";
      readonly tag: number;
      readonly code: "range";
      readonly name: string;
      readonly field: number;
    }
  | { readonly kind: "garbled"; readonly why: "long" | "form" | "crc" };

/**
 * The bytes of a request, line feed included. Throws RangeError for a value that its field cannot carry, as a bench would
 * refuse it.
 */
export function encodeRequest<Name extends RequestName>(
  tag: number,
  name: Name,
  fields: RequestFields[Name],
): Uint8Array {
  return sealLine(
    `${marks.request}${hexOf(tag, 2)} ${name}${formatFields(requests[name].fields, fields as unknown as FieldValues)}`,
  );
}

/** Judges a line of a host, without its line feed, in the order that PROTOCOL.md gives. Never throws. */
export function decodeRequest(line: Uint8Array): RequestLine {
  if (line.length > maxRequestBytes) return { kind: "garbled", why: "long" };
  const unsealed = unsealLine(line);
  if (unsealed.kind === "garbled") return unsealed;
  const head = unsealed.text.startsWith(marks.request) ? splitHead(unsealed.text) : undefined;
  if (!head) return { kind: "garbled", why: "form" };
  const { tag, name, tokens } = head;
  if (!Object.hasOwn(requests, name)) return { kind: "refused", tag, code: "verb", name };
  const parsed = parseFields(requests[name as RequestName].fields, tokens);
  if (parsed.kind === "form") return { kind: "refused", tag, code: "form", name };
  if (parsed.kind === "range") return { kind: "refused", tag, code: "range", name, field: parsed.field };
  // The table has just said that these are the fields of this name.
  const request = { kind: "request", tag, name, fields: parsed.values } as unknown as Request;
  const field = fieldAgainstOthers(request);
  return field === undefined ? request : { kind: "refused", tag, code: "range", name, field };
}

/** The field that is out of range because of what the others say. */
function fieldAgainstOthers(request: Request): number | undefined {
  if (request.name === "limits") return request.fields.supplyMin >= request.fields.supplyMax ? 3 : undefined;
  if (request.name !== "watch") return undefined;
  const { channel, mode, what } = request.fields;
  if (mode !== "listen" && channel >= driveChannels) return 0;
  return what === "current" && mode !== "drive" ? 2 : undefined;
}
