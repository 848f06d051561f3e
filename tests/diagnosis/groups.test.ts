import { diagnose } from "@pinwalk/host/diagnosis/diagnose.js";
import { describe, expect, it } from "vitest";
import { type Distance, measureGroups } from "./group-check.mjs";
import { loadCases } from "./load-cases.js";

/**
 * The diagnosis tells explanations apart from two standard deviations on, by slopes at one operating point and with its own
 * solving in steps. Solved anew and with other slopes, the same distance comes out a little different.
 */
const leeway = 0.5;
const tellingDistance = 2;

const measured = loadCases()
  .filter(({ name }) => /^install-0(04|06|12|21)|^cable-006/.test(name))
  .map(({ name, plan, readings }) => ({ name, ...measureGroups(plan, readings, diagnose(plan, readings), 25) }));

const far = (distances: readonly Distance[]): Distance[] =>
  distances.filter(({ apart }) => apart > tellingDistance + leeway);
const near = (distances: readonly Distance[]): Distance[] =>
  distances.filter(({ apart }) => apart < tellingDistance - leeway);

describe("groups, solved anew from the faults that they name", () => {
  it.each(measured)("$name: hold nothing that the bench could tell from their likeliest", ({ within }) => {
    expect(far(within)).toEqual([]);
  });

  it.each(measured)("$name: are not split where the bench cannot tell", ({ between }) => {
    expect(near(between)).toEqual([]);
  });

  it("were many enough, and of more than one member, to say so", () => {
    expect(measured.flatMap(({ within }) => within).length).toBeGreaterThan(40);
    expect(measured.flatMap(({ between }) => between).length).toBeGreaterThan(0);
  });
});
