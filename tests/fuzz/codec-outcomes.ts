import { decodeLine } from "@pinwalk/firmware-protocol/bench-line.js";
import { maxReplyBytes, maxRequestBytes } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { LineSplitter } from "@pinwalk/firmware-protocol/line-splitter.js";
import { decodeRequest, type RequestLine } from "@pinwalk/firmware-protocol/request-line.js";

/** What the TypeScript side makes of bytes on the line to a bench, in the words of reception-fuzz.c. */
export function codecOutcomes(bytes: Uint8Array): string[] {
  return new LineSplitter(maxRequestBytes)
    .push(bytes)
    .map((line) => (line.kind === "long" ? "garbled long" : inWords(decodeRequest(line.bytes))));
}

/** What the TypeScript side makes of the same bytes as if a bench had said them; nothing may throw. */
export function heardFromBench(bytes: Uint8Array): string[] {
  return new LineSplitter(maxReplyBytes)
    .push(bytes)
    .map((line) => (line.kind === "long" ? "long" : decodeLine(line.bytes).kind));
}

function inWords(line: RequestLine): string {
  if (line.kind === "garbled") return `garbled ${line.why}`;
  const tag = line.tag.toString(16).toUpperCase().padStart(2, "0");
  if (line.kind === "refused") return `refused ${tag} ${line.code}${line.code === "range" ? ` ${line.field}` : ""}`;
  return ["request", tag, line.name, ...Object.values(line.fields)].join(" ");
}
