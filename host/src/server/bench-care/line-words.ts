import { decodeLine } from "@pinwalk/firmware-protocol/bench-line.js";
import type { PushName, RequestName } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { decodeRequest } from "@pinwalk/firmware-protocol/request-line.js";
import { wordsForRefusal } from "../../bench/bench-problem-words.js";
import type { LoggedLine } from "../../bench/serial-log.js";
import type { SerialLineView } from "./bench-care-contract.js";

/** What each request is about, in a person's words. */
const requestTitles: Readonly<Record<RequestName, string>> = {
  hello: "Who is there?",
  ping: "Sign of life",
  status: "How are you?",
  limits: "Limits of current and supply",
  roles: "Which channels may be driven",
  far: "Whether to look at the far side",
  arm: "Close the main relay",
  off: "Everything off",
  rest: "Measure everything at rest",
  low: "A few milliamps into one channel",
  drive: "Full supply on one channel",
  hold: "Light one channel for a person",
  watch: "Follow one channel",
  watched: "How did the watch end?",
  keep: "A person is still looking",
  result: "What came of the drive?",
  volts: "The voltages, please",
  check: "What do you say of yourself?",
  constant: "Which constant is in force?",
  stage: "Use this constant",
  serial: "Your serial number",
  store: "Write the constants for good",
  clear: "Clear the current limit's latch",
  restart: "Start anew",
};

const pushTitles: Readonly<Record<PushName, string>> = {
  hello: "The bench has started",
  trace: "The drive goes on",
  ended: "The drive has ended",
  result: "What came of the drive",
  volts: "The voltages",
  windows: "Windows of the watch",
  gap: "An interruption",
  off: "The bench has turned everything off",
  garbled: "The bench could not read a line and has turned everything off",
  button: "The start button was pressed",
};

/** Milliamps and the like, by the name that the wire has for them. */
const units: Readonly<Record<string, string>> = {
  trip: "mA",
  tripTime: "ms",
  supplyMin: "mV",
  supplyMax: "mV",
  cool: "ms",
  most: "ms",
  supply: "mV",
  current: "mA",
  peak: "mA",
  settle: "ms",
  spread: "mA",
  volts: "mV",
  near: "mV",
  uptime: "ms",
  at: "ms",
};

/** A line of the log for people: its text with control characters made visible, and what it says where that is known. */
export function serialLineView({ seq, at, path, direction, bytes, cut }: LoggedLine): SerialLineView {
  const raw = `${visibleText(bytes)}${cut ? " …" : ""}`;
  const words = cut ? "Too long for a line" : direction === "to-bench" ? askedWords(bytes) : heardWords(bytes);
  return { seq, at, path, direction, raw, words };
}

function askedWords(bytes: Uint8Array): string {
  const request = decodeRequest(bytes);
  return request.kind === "request" ? withFields(requestTitles[request.name], request.fields) : "Not a request";
}

function heardWords(bytes: Uint8Array): string {
  const line = decodeLine(bytes);
  switch (line.kind) {
    case "reply":
      return withFields(`Answer to “${requestTitles[line.name]}”`, line.fields);
    case "refusal":
      return `Refused: ${wordsForRefusal(line)}`;
    case "push":
      return withFields(pushTitles[line.name], line.name === "windows" ? { first: line.fields.first } : line.fields);
    case "other-protocol":
      return `A bench of protocol version ${line.protocol}`;
    case "garbage":
      return "Cannot be read";
  }
}

function withFields(title: string, fields: object): string {
  const named = Object.entries(fields).map(([name, value]) => `${plainName(name)} ${plainValue(name, value)}`);
  return named.length === 0 ? title : `${title}${title.endsWith("?") ? " – " : ": "}${named.join(", ")}`;
}

/** `supplyMin` as `supply min`. */
const plainName = (name: string): string => name.replaceAll(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);

function plainValue(name: string, value: unknown): string {
  const unit = units[name];
  const text = Array.isArray(value) ? value.map((one) => one ?? "–").join(" ") : String(value);
  return unit === undefined || (name === "volts" && text === "") ? text : `${text}\u00a0${unit}`;
}

/** Latin letters as they are; everything else as its byte: `\x1b`. */
function visibleText(bytes: Uint8Array): string {
  return Array.from(bytes, (byte) =>
    byte >= 0x20 && byte < 0x7f ? String.fromCharCode(byte) : `\\x${byte.toString(16).padStart(2, "0")}`,
  ).join("");
}
