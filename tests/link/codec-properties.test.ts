import { decodeLine, encodeReply } from "@pinwalk/firmware-protocol/bench-line.js";
import { type FieldValues, formatFields, parseFields } from "@pinwalk/firmware-protocol/fields.js";
import {
  channels,
  type FieldSpec,
  pushes,
  type RequestName,
  refusals,
  requests,
  words,
} from "@pinwalk/firmware-protocol/generated/protocol.js";
import { sealLine } from "@pinwalk/firmware-protocol/line-seal.js";
import { LineSplitter } from "@pinwalk/firmware-protocol/line-splitter.js";
import { decodeRequest, encodeRequest } from "@pinwalk/firmware-protocol/request-line.js";
import fc from "fast-check";
import { describe, expect, it } from "vitest";

const wordsOf = (list: string): readonly string[] => {
  const found = Object.entries(words).find(([name]) => name === list);
  return found ? found[1] : [];
};
const textCharacters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789.-";

function fieldValue(spec: FieldSpec): fc.Arbitrary<unknown> {
  if (spec.type === "text") {
    return fc.string({ unit: fc.constantFrom(...textCharacters), minLength: spec.min, maxLength: spec.max });
  }
  if (spec.type === "packed") {
    const window = fc.string({ unit: fc.constantFrom(...textCharacters), minLength: 7, maxLength: 7 });
    return fc.array(window, { minLength: 1, maxLength: spec.max / 7 }).map((windows) => windows.join(""));
  }
  if (spec.type.startsWith("word:")) return fc.constantFrom(...wordsOf(spec.type.slice(5)));
  const number = fc.integer({ min: spec.min, max: spec.max });
  if (!spec.list) return number;
  return fc.array(fc.option(number, { nil: undefined }), { minLength: channels, maxLength: channels });
}

const fieldsOf = (specs: readonly FieldSpec[]): fc.Arbitrary<FieldValues> =>
  fc.record(Object.fromEntries(specs.map((spec) => [spec.name, fieldValue(spec)]))) as fc.Arbitrary<FieldValues>;

const allSpecs: readonly (readonly FieldSpec[])[] = [
  ...Object.values(requests).flatMap((request) => [request.fields, request.reply]),
  ...Object.values(pushes),
  ...Object.values(refusals),
];

/** Any request that a bench would take, `limits` and `watch` aside: they have a rule more than the table. */
const anyRequest = fc
  .constantFrom(...(Object.keys(requests) as RequestName[]).filter((name) => name !== "limits" && name !== "watch"))
  .chain((name) =>
    fc.record({
      name: fc.constant(name),
      tag: fc.integer({ min: 0, max: 255 }),
      fields: fieldsOf(requests[name].fields),
    }),
  );

const requestBytes = (r: { name: RequestName; tag: number; fields: FieldValues }) =>
  encodeRequest(r.tag, r.name, r.fields as never);

describe("the codec, for any line", () => {
  it("reads back all fields that it writes, in every sentence of the table", () => {
    for (const specs of allSpecs) {
      fc.assert(
        fc.property(fieldsOf(specs), (values) => {
          const tokens = formatFields(specs, values).split(" ").slice(1);
          expect(parseFields(specs, tokens)).toEqual({ kind: "fields", values });
        }),
        { numRuns: 30 },
      );
    }
  });

  it("reads back a request as it was written", () => {
    fc.assert(
      fc.property(anyRequest, (request) => {
        const line = requestBytes(request);
        expect(decodeRequest(line.subarray(0, -1))).toEqual({ kind: "request", ...request });
      }),
    );
  });

  it("notices any single byte that changed on its way", () => {
    fc.assert(
      fc.property(anyRequest, fc.nat(), fc.integer({ min: 1, max: 255 }), (request, place, flip) => {
        const line = requestBytes(request).subarray(0, -1);
        const at = place % line.length;
        const changed = line.map((byte, index) => (index === at ? byte ^ flip : byte));
        expect(decodeRequest(changed).kind).toBe("garbled");
      }),
      { numRuns: 2000 },
    );
  });

  it("notices any single byte that changed in a reply", () => {
    const fields = fieldsOf(requests.volts.reply);
    fc.assert(
      fc.property(fields, fc.nat(), fc.integer({ min: 1, max: 255 }), (values, place, flip) => {
        const line = encodeReply(0x5a, "volts", values as never).subarray(0, -1);
        const at = place % line.length;
        const changed = line.map((byte, index) => (index === at ? byte ^ flip : byte));
        expect(decodeLine(changed).kind).toBe("garbage");
      }),
      { numRuns: 2000 },
    );
  });

  it("makes something of any bytes at all and never throws", () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 400 }), (bytes) => {
        expect(["reply", "refusal", "push", "other-protocol", "garbage"]).toContain(decodeLine(bytes).kind);
        expect(["request", "refused", "garbled"]).toContain(decodeRequest(bytes).kind);
      }),
      { numRuns: 2000 },
    );
  });

  it.each(["constructor", "__proto__", "toString", "hasOwnProperty"])("takes %s for no name of the table", (name) => {
    expect(decodeRequest(sealLine(`?2A ${name}`).subarray(0, -1))).toMatchObject({ kind: "refused", code: "verb" });
    for (const head of ["=2A ", "!2A ", "~"]) {
      expect(decodeLine(sealLine(`${head}${name}`).subarray(0, -1))).toEqual({ kind: "garbage", why: "fields" });
    }
  });

  it.each([
    ["drive", { channel: 8, most: 4000 }],
    ["drive", { channel: 3, most: 9 }],
    ["drive", { channel: 3.5, most: 4000 }],
    ["drive", { channel: Number.NaN, most: 4000 }],
    ["drive", { channel: 3 }],
    ["volts", { measurement: 1, side: "left" }],
  ] as const)("does not write %s with %j", (name, fields) => {
    expect(() => encodeRequest(0, name, fields as never)).toThrow(RangeError);
  });
});

describe("cutting the stream into lines", () => {
  it("gives the same lines however the bytes are cut", () => {
    const pieces = fc.array(fc.uint8Array({ maxLength: 20 }), { maxLength: 30 });
    fc.assert(
      fc.property(pieces, (cut) => {
        const whole = Uint8Array.from(cut.flatMap((piece) => [...piece]));
        const inPieces = new LineSplitter(32);
        const atOnce = new LineSplitter(32);
        expect(cut.flatMap((piece) => inPieces.push(piece))).toEqual(atOnce.push(whole));
      }),
    );
  });

  it("throws a line that is too long away as a whole and goes on with the next", () => {
    const splitter = new LineSplitter(8);
    const bytes = Uint8Array.from("123456789\r\n12345678\nabc\r\n\n", (c) => c.charCodeAt(0));
    expect(splitter.push(bytes).map((line) => (line.kind === "long" ? line.bytes : line.bytes.length))).toEqual([
      10, 8, 3, 0,
    ]);
  });

  it("keeps no more than its limit of a board that babbles for ever", () => {
    const splitter = new LineSplitter(160);
    const babble = new Uint8Array(10_000).fill(0x55);
    for (let piece = 0; piece < 100; piece += 1) expect(splitter.push(babble)).toEqual([]);
    expect(JSON.stringify(splitter).length).toBeLessThan(5_000);
    expect(splitter.push(Uint8Array.of(10))).toEqual([{ kind: "long", bytes: 1_000_000 }]);
  });
});
