import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";

const file = (path: string) => fileURLToPath(new URL(`../../firmware-protocol/${path}`, import.meta.url));
const { modelFrom } = await import(file("generate-model.mjs"));
const { headerFrom } = await import(file("generate-c.mjs"));
const { typescriptFrom } = await import(file("generate-ts.mjs"));
const table = () => JSON.parse(readFileSync(file("protocol.json"), "utf8"));

const named = (t: ReturnType<typeof table>, name: string) =>
  t.requests.find((one: { name: string }) => one.name === name);

describe("the table of the wire contract", () => {
  it("is what the generated files were made from", () => {
    expect(spawnSync(process.execPath, [file("generate.mjs"), "--check"]).status).toBe(0);
    expect(typescriptFrom(modelFrom(table()))).toBe(readFileSync(file("src/generated/protocol.ts"), "utf8"));
    expect(headerFrom(modelFrom(table()))).toBe(readFileSync(file("firmware/generated/protocol.h"), "utf8"));
  });

  it("changes both sides when it is changed", () => {
    const changed = table();
    changed.timing.silenceMs = 777;
    changed.requests[0].name = "who";
    for (const text of [headerFrom(modelFrom(changed)), typescriptFrom(modelFrom(changed))]) {
      expect(text).toContain("777");
      expect(text).toContain('"who"');
    }
  });

  it.each([
    ["an unknown type", (t) => (named(t, "low").fields[0].type = "u12"), /no type u12/],
    ["an unknown word list", (t) => (named(t, "volts").fields[1].type = "word:edge"), /no word list/],
    ["a range that its type cannot carry", (t) => (named(t, "low").fields[0].max = 300), /does not fit u8/],
    ["a range that is upside down", (t) => (named(t, "low").fields[0].min = 8), /does not fit u8/],
    ["a request that stands twice", (t) => t.requests.push(t.requests[0]), /hello stands twice/],
    ["a refusal that stands twice", (t) => t.refusals.push(t.refusals[0]), /verb stands twice/],
    ["a word that stands twice", (t) => t.words.side.push("near"), /near stands twice/],
    ["a request that may grow longer than a line", (t) => (t.line.maxRequestBytes = 40), /limits: may take/],
    ["a reply that may grow longer than a line", (t) => (t.line.maxReplyBytes = 100), /volts: may take/],
  ] as [string, (t: ReturnType<typeof table>) => unknown, RegExp][])("is refused with %s", (_what, spoil, message) => {
    const spoiled = table();
    spoil(spoiled);
    expect(() => modelFrom(spoiled)).toThrow(message);
  });
});
