import type { Network, Part } from "@pinwalk/host/circuit/network.js";
import { prepareNetwork } from "@pinwalk/host/circuit/prepared-network.js";
import { solve } from "@pinwalk/host/circuit/solve.js";
import { SparseLdl } from "@pinwalk/host/circuit/sparse-ldl.js";
import fc from "fast-check";
import { Matrix, solve as solveDense } from "ml-matrix";
import { describe, expect, it } from "vitest";

const resistor = (id: string, a: string, b: string, ohms: number): Part => ({ kind: "resistor", id, a, b, ohms });
const source = (id: string, plus: string, minus: string, volts: number, ohms = 0): Part => ({
  kind: "source",
  id,
  plus,
  minus,
  volts,
  ohms,
});
const silicon = { saturationAmps: 30e-9, ideality: 1.7, seriesOhms: 0.02 };

describe("the solver names what cannot be solved before it tries", () => {
  const problemsOf = (parts: readonly Part[]) => {
    const solution = solve({ reference: "0", parts });
    if (solution.kind !== "invalid") throw new Error(`it was ${solution.kind}`);
    return solution.problems;
  };

  it("nodes that nothing connects to the reference", () => {
    const problems = problemsOf([resistor("a", "1", "0", 5), resistor("b", "x", "y", 5)]);
    expect(problems).toMatchObject([{ code: "floating", nodes: ["x", "y"] }]);
  });

  it("a current source does not hold a node", () => {
    const problems = problemsOf([
      resistor("a", "1", "0", 5),
      { kind: "current-source", id: "i", from: "0", to: "2", amps: 1 },
    ]);
    expect(problems).toMatchObject([{ code: "floating", nodes: ["2"] }]);
  });

  it("sources without resistance in a loop, by the names of all of them", () => {
    const problems = problemsOf([
      source("first", "1", "0", 12),
      source("second", "2", "1", 3),
      resistor("joint", "2", "3", 0),
      source("third", "3", "0", 15),
      resistor("load", "1", "0", 5),
    ]);
    expect(problems.map((problem) => problem.code)).toEqual(["source-loop"]);
    expect(problems[0]).toMatchObject({ parts: expect.arrayContaining(["first", "second", "joint", "third"]) });
  });

  it("two parts of one name, values that are no values, and a reference that nothing touches", () => {
    expect(problemsOf([resistor("a", "1", "0", 5), resistor("a", "1", "0", -5)]).map((one) => one.code)).toEqual([
      "same-id",
      "bad-value",
    ]);
    expect(problemsOf([resistor("a", "1", "2", Number.NaN)]).map((one) => one.code)).toContain("bad-value");
    expect(problemsOf([resistor("a", "1", "2", 5)])).toMatchObject([{ code: "no-reference" }]);
  });
});

describe("parts without resistance", () => {
  it("share one voltage, and the current through each of them is still known", () => {
    const solution = solve({
      reference: "0",
      parts: [
        source("battery", "1", "0", 12),
        resistor("joint", "1", "2", 0),
        source("lift", "3", "2", 2),
        resistor("a", "2", "0", 6),
        resistor("b", "3", "0", 7),
      ],
    });
    if (solution.kind !== "solved") throw new Error(solution.kind);
    expect(solution.volts.get("3")).toBe(14);
    expect(solution.amps.get("lift")).toBeCloseTo(-2, 12);
    expect(solution.amps.get("joint")).toBeCloseTo(4, 12);
    expect(solution.amps.get("battery")).toBeCloseTo(-4, 12);
  });

  it("may tie nodes that hang above the reference", () => {
    const solution = solve({
      reference: "0",
      parts: [
        source("battery", "1", "0", 12),
        resistor("a", "1", "2", 2),
        resistor("joint", "3", "2", 0),
        resistor("b", "3", "0", 4),
      ],
    });
    if (solution.kind !== "solved") throw new Error(solution.kind);
    expect(solution.volts.get("3")).toBeCloseTo(8, 12);
    expect(solution.amps.get("joint")).toBeCloseTo(-2, 12);
  });
});

describe("a hard network", () => {
  it("says that it did not converge, and where, when it is given too few steps", () => {
    const diode: Part = { kind: "diode", id: "d", anode: "2", cathode: "0", model: silicon, celsius: 20 };
    const network: Network = { reference: "0", parts: [source("s", "1", "0", 12), resistor("r", "1", "2", 1), diode] };
    const short = solve(network, { maxIterations: 1 });
    expect(short).toMatchObject({ kind: "not-converged", iterations: 1, worstNode: "2" });
    expect(solve(network).kind).toBe("solved");
  });

  it("with LEDs, regulated LEDs, diodes both ways and filaments always has its operating point", () => {
    const nodes = ["0", "1", "2", "3", "4", "5"];
    const node = fc.constantFrom(...nodes);
    const part = fc.tuple(node, node, fc.integer({ min: 0, max: 5 }), fc.double({ min: 0.05, max: 1, noNaN: true }));
    fc.assert(
      fc.property(
        fc.array(part, { minLength: 4, maxLength: 25 }),
        fc.double({ min: -30, max: 30, noNaN: true }),
        (picked, volts) => {
          const parts: Part[] = nodes.slice(1).map((name, at) => resistor(`tie${at}`, name, "0", 133_000));
          parts.push(source("s", "1", "0", volts, 0.1));
          picked.forEach(([a, b, kind, size], at) => {
            const id = `p${at}`;
            if (a === b) return;
            if (kind === 0) parts.push(resistor(id, a, b, size));
            if (kind === 1) parts.push({ kind: "diode", id, anode: a, cathode: b, model: silicon, celsius: 20 });
            if (kind === 2)
              parts.push({
                kind: "diode",
                id,
                anode: a,
                cathode: b,
                model: { ...silicon, seriesOhms: 0 },
                celsius: 20,
              });
            if (kind === 3)
              parts.push({
                kind: "filament",
                id,
                a,
                b,
                model: { designVolts: 12.8, designAmps: 2.1 * size },
                celsius: 20,
              });
            if (kind === 4)
              parts.push({ kind: "led", id, anode: a, cathode: b, model: { amps: size, volts: 12.8, kneeVolts: 8 } });
            if (kind === 5)
              parts.push({
                kind: "led",
                id,
                anode: a,
                cathode: b,
                model: { amps: size, volts: 12.8, kneeVolts: 8, regulated: true },
              });
          });
          const solution = solve({ reference: "0", parts });
          expect(solution.kind).toBe("solved");
          if (solution.kind === "solved") expect(solution.residualAmps).toBeLessThan(1e-9);
        },
      ),
      { numRuns: 400, seed: 20251125 },
    );
  });
});

describe("a prepared network", () => {
  it("gives, cold or warm, what a fresh network gives", () => {
    const partsAt = (volts: number): Part[] => [
      source("s", "1", "0", volts, 0.1),
      resistor("r", "1", "2", 0.08),
      { kind: "diode", id: "d", anode: "2", cathode: "3", model: silicon, celsius: 20 },
      { kind: "filament", id: "f", a: "3", b: "0", model: { designVolts: 12.8, designAmps: 2.1 }, celsius: 20 },
    ];
    const made = prepareNetwork({ reference: "0", parts: partsAt(12) });
    if (made.kind !== "ready") throw new Error(made.kind);
    for (const volts of [4.4, 12.8, 13.5, 0, -12]) {
      made.prepared.setVolts("s", volts);
      expect(made.prepared.run({ warm: true }).kind).toBe("solved");
      const fresh = solve({ reference: "0", parts: partsAt(volts) });
      if (fresh.kind !== "solved") throw new Error(fresh.kind);
      expect(made.prepared.voltsAt("3")).toBeCloseTo(fresh.volts.get("3") ?? Number.NaN, 6);
      expect(made.prepared.ampsThrough("f")).toBeCloseTo(fresh.amps.get("f") ?? Number.NaN, 9);
    }
  });

  it("holds a filament at a resistance and lets it go again", () => {
    const parts: Part[] = [
      source("s", "1", "0", 12, 1),
      { kind: "filament", id: "f", a: "1", b: "0", model: { designVolts: 12.8, designAmps: 2.1 }, celsius: 20 },
    ];
    const made = prepareNetwork({ reference: "0", parts });
    if (made.kind !== "ready") throw new Error(made.kind);
    made.prepared.holdFilament("f", 2);
    made.prepared.run();
    expect(made.prepared.ampsThrough("f")).toBeCloseTo(4, 9);
    made.prepared.holdFilament("f", undefined);
    made.prepared.run();
    expect(made.prepared.ampsThrough("f")).toBeLessThan(2.1);
    expect(() => made.prepared.holdFilament("s", 2)).toThrow("not a filament");
  });
});

it("the sparse factor solves what the matrix library's dense LU solves", () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 30 }), fc.integer(), (size, seed) => {
      let state = seed >>> 0;
      const random = (): number => {
        state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
        return (state + 1) / 2 ** 32;
      };
      const seen = new Set<string>();
      const pairs: [number, number][] = [];
      for (let at = 0; at < 2 * size; at++) {
        const a = Math.floor(random() * size);
        const b = Math.floor(random() * size);
        const key = `${Math.min(a, b)} ${Math.max(a, b)}`;
        if (a === b || seen.has(key)) continue;
        seen.add(key);
        pairs.push([a, b]);
      }
      const isLate = (unknown: number): boolean => (unknown * 7919 + seed) % 3 !== 0;
      const ldl = new SparseLdl(size, pairs, isLate);
      const dense = Matrix.zeros(size, size);
      for (let at = 0; at < size; at++) {
        const own = random();
        ldl.values[at] = own;
        dense.set(at, at, own);
      }
      pairs.forEach(([a, b], at) => {
        const siemens = 10 ** (6 * random() - 3);
        ldl.values[size + at] = -siemens;
        for (const one of [a, b]) {
          ldl.values[one] = (ldl.values[one] ?? 0) + siemens;
          dense.set(one, one, dense.get(one, one) + siemens);
        }
        dense.set(a, b, -siemens);
        dense.set(b, a, -siemens);
      });
      const right = Float64Array.from({ length: size }, () => random() - 0.5);
      const hub = ldl.late[0];
      if (hub !== undefined) dense.set(hub, hub, dense.get(hub, hub) + 1);
      const wanted = solveDense(dense, Matrix.columnVector([...right])).to1DArray();
      expect(ldl.factorEarly()).toBe(-1);
      // What changes in every step goes onto the late unknowns after the early ones are gone.
      const changing = ldl.late[0];
      ldl.resume();
      if (changing !== undefined) ldl.entries[changing] = (ldl.entries[changing] ?? 0) + 1;
      expect(ldl.factorLate()).toBe(-1);
      ldl.solve(right);
      wanted.forEach((value, at) => {
        expect(Math.abs((right[at] ?? Number.NaN) - value)).toBeLessThan(1e-9 * (1 + Math.abs(value)));
      });
    }),
    { numRuns: 100, seed: 7 },
  );
});
