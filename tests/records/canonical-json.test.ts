import { canonicalJson, NotCanonical } from "@pinwalk/host/records/chain/canonical-json.js";
import fc from "fast-check";
import { describe, expect, it } from "vitest";

// Source of every vector in this file: RFC 8785, JSON Canonicalization Scheme.
describe("Canonical JSON", () => {
  it("is that of the complete example (section 3.2.2 and 3.2.3)", () => {
    const input = String.raw`{
      "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
      "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
      "literals": [null, true, false]
    }`;
    expect(canonicalJson(JSON.parse(input))).toBe(
      String.raw`{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\u000f\nA'B\"\\\\\"/"}`,
    );
  });

  it("sorts members by UTF-16 code units (section 3.2.3)", () => {
    const input = {
      "\u20ac": "Euro Sign",
      "\r": "Carriage Return",
      "\ufb33": "Hebrew Letter Dalet With Dagesh",
      "1": "One",
      "\ud83d\ude00": "Emoji: Grinning Face",
      "\u0080": "Control",
      "\u00f6": "Latin Small Letter O With Diaeresis",
    };
    expect(Object.values(JSON.parse(canonicalJson(Object.entries(input))))).toHaveLength(7);
    const order = [...canonicalJson(input).matchAll(/:"([^"]+)"/g)].map((match) => match[1]);
    expect(order).toEqual([
      "Carriage Return",
      "One",
      "Control",
      "Latin Small Letter O With Diaeresis",
      "Euro Sign",
      "Emoji: Grinning Face",
      "Hebrew Letter Dalet With Dagesh",
    ]);
  });

  // Appendix B: IEEE 754 bits of a number and its text.
  it.each([
    ["0000000000000000", "0"],
    ["8000000000000000", "0"],
    ["0000000000000001", "5e-324"],
    ["8000000000000001", "-5e-324"],
    ["7fefffffffffffff", "1.7976931348623157e+308"],
    ["ffefffffffffffff", "-1.7976931348623157e+308"],
    ["4340000000000000", "9007199254740992"],
    ["c340000000000000", "-9007199254740992"],
    ["4430000000000000", "295147905179352830000"],
    ["44b52d02c7e14af5", "9.999999999999997e+22"],
    ["44b52d02c7e14af6", "1e+23"],
    ["44b52d02c7e14af7", "1.0000000000000001e+23"],
    ["444b1ae4d6e2ef4e", "999999999999999700000"],
    ["444b1ae4d6e2ef4f", "999999999999999900000"],
    ["444b1ae4d6e2ef50", "1e+21"],
    ["3eb0c6f7a0b5ed8c", "9.999999999999997e-7"],
    ["3eb0c6f7a0b5ed8d", "0.000001"],
    ["41b3de4355555553", "333333333.3333332"],
    ["41b3de4355555554", "333333333.33333325"],
    ["41b3de4355555555", "333333333.3333333"],
    ["41b3de4355555556", "333333333.3333334"],
    ["41b3de4355555557", "333333333.33333343"],
    ["becbf647612f3696", "-0.0000033333333333333333"],
    ["43143ff3c1cb0959", "1424953923781206.2"],
  ])("writes the number of bits %s as %s", (bits, text) => {
    expect(canonicalJson(Buffer.from(bits, "hex").readDoubleBE())).toBe(text);
  });

  it.each([
    ["not a number (appendix B, 7fffffffffffffff)", Number.NaN],
    ["infinity (appendix B, 7ff0000000000000)", Number.POSITIVE_INFINITY],
    ["half a surrogate pair (section 3.2.2.2)", "\ud800"],
    ["half a surrogate pair as a name", { "\udead": 1 }],
    ["a function", () => 1],
    ["a date", new Date(0)],
  ])("refuses %s", (_name, value) => {
    expect(() => canonicalJson(value)).toThrow(NotCanonical);
  });

  it("refuses what is nested without end, instead of running out of stack", () => {
    let deep: unknown = 1;
    for (let level = 0; level < 100_000; level++) deep = [deep];
    expect(() => canonicalJson(deep)).toThrow(NotCanonical);
  });

  it("is the same whatever the order of members, and reads back as the same value", () => {
    fc.assert(
      fc.property(fc.json({ maxDepth: 6 }), (text) => {
        const value: unknown = JSON.parse(text);
        if (/\p{Surrogate}/u.test(JSON.stringify(value)) || JSON.stringify(value).includes("\\ud")) return;
        const once = canonicalJson(value);
        expect(canonicalJson(JSON.parse(once))).toBe(once);
        expect(JSON.parse(once)).toEqual(JSON.parse(JSON.stringify(value)));
        expect(canonicalJson(reversed(value))).toBe(once);
      }),
      { numRuns: 300, seed: 8785 },
    );
  });
});

function reversed(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(reversed);
  if (typeof value !== "object" || value === null) return value;
  const entries = Object.entries(value).reverse();
  return Object.fromEntries(entries.map(([key, member]) => [key, reversed(member)]));
}
