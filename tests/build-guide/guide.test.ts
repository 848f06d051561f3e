import { existsSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { firmwareIdentity } from "./firmware-constants.js";
import { hardwareFolder, netlist } from "./netlist.js";
import { engineering, quality } from "./paper.js";

const guide = readFileSync(`${hardwareFolder}GUIDE.md`, "utf8");
const rows = new Map(
  [...guide.matchAll(/^\| ([^|]+) \| ([^|]+) \|$/gm)].map(([, label = "", value = ""]) => [label.trim(), value.trim()]),
);

describe("the build guide", () => {
  it.each([...engineering, ...quality])("gives %s as %s, which the design values say", (label, value) => {
    expect(rows.get(label)).toBe(value);
  });

  it("links only to what is there", () => {
    const links = [...guide.matchAll(/\]\(([^)]+)\)/g)].map(([, path = ""]) => path);
    expect(links.length).toBeGreaterThan(10);
    expect(links.filter((path) => !existsSync(`${hardwareFolder}${path}`))).toEqual([]);
  });

  it("speaks only of parts that are drawn", () => {
    const { parts } = netlist();
    const named = [...guide.matchAll(/\b([RCDQUJKFSY]\d{1,2})\b/g)].map(([, reference = ""]) => reference);
    expect([...new Set(named)].filter((reference) => !(reference in parts))).toEqual([]);
  });

  it("expects the version that the committed firmware says", () => {
    expect(guide).toContain(`firmware ${firmwareIdentity()},`);
  });
});
