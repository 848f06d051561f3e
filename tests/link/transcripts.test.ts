import {
  type BenchLine,
  decodeLine,
  encodePush,
  encodeRefusal,
  encodeReply,
} from "@pinwalk/firmware-protocol/bench-line.js";
import { maxReplyBytes, maxRequestBytes } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { LineSplitter } from "@pinwalk/firmware-protocol/line-splitter.js";
import { decodeRequest, encodeRequest, type RequestLine } from "@pinwalk/firmware-protocol/request-line.js";
import { describe, expect, it } from "vitest";
import { type TranscriptRow, transcriptFiles, transcriptRows, valuesColumn } from "./transcript-rows.js";

const hex2 = (tag: number) => tag.toString(16).toUpperCase().padStart(2, "0");

/** The four columns that a decoder fills, from what it made of the line. */
function heardByBench(row: TranscriptRow): string[] {
  const [line] = new LineSplitter(maxRequestBytes).push(Uint8Array.of(...row.bytes, 10));
  if (line?.kind !== "line") return ["garbled", "-", "long", "-"];
  const judged: RequestLine = decodeRequest(line.bytes);
  switch (judged.kind) {
    case "request":
      return ["request", hex2(judged.tag), judged.name, valuesColumn(judged.fields)];
    case "refused":
      return ["refused", hex2(judged.tag), judged.code, judged.code === "range" ? `field=${judged.field}` : "-"];
    case "garbled":
      return ["garbled", "-", judged.why, "-"];
  }
}

function heardByHost(row: TranscriptRow): string[] {
  const [line] = new LineSplitter(maxReplyBytes).push(Uint8Array.of(...row.bytes, 10));
  if (line?.kind !== "line") return ["garbage", "-", "long", "-"];
  const heard: BenchLine = decodeLine(line.bytes);
  switch (heard.kind) {
    case "reply":
      return ["reply", hex2(heard.tag), heard.name, valuesColumn(heard.fields)];
    case "refusal":
      return ["refusal", hex2(heard.tag), heard.code, valuesColumn(heard.fields)];
    case "push":
      return ["push", "-", heard.name, valuesColumn(heard.fields)];
    case "other-protocol":
      return ["other-protocol", "-", String(heard.protocol), "-"];
    case "garbage":
      return ["garbage", "-", heard.why, "-"];
  }
}

function encodedAgain(line: RequestLine | BenchLine): Uint8Array | undefined {
  switch (line.kind) {
    case "request":
      return encodeRequest(line.tag, line.name, line.fields);
    case "reply":
      return encodeReply(line.tag, line.name, line.fields);
    case "refusal":
      return encodeRefusal(line.tag, line.code, line.fields);
    case "push":
      return encodePush(line.name, line.fields);
    default:
      return undefined;
  }
}

describe("the golden lines", () => {
  const rows = transcriptFiles.flatMap((file) => transcriptRows(file));

  it("are there in both directions", () => {
    expect(rows.filter((row) => row.direction === ">").length).toBeGreaterThan(100);
    expect(rows.filter((row) => row.direction === "<").length).toBeGreaterThan(80);
  });

  it.each(rows.map((row) => ({ ...row, title: `${row.where} as ${row.kind} ${row.name}` })))("reads $title", (row) => {
    const heard = row.direction === ">" ? heardByBench(row) : heardByHost(row);
    expect(heard).toEqual([row.kind, row.tag, row.name, row.values]);
  });

  it("are written again byte for byte from what was read", () => {
    for (const row of rows) {
      const line = row.direction === ">" ? decodeRequest(row.bytes) : decodeLine(row.bytes);
      const again = encodedAgain(line);
      if (again) expect([...again], row.where).toEqual([...row.bytes, 10]);
    }
  });
});
