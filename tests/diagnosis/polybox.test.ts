import { entropyBits } from "@pinwalk/host/diagnosis/ranking/information.js";
import { rankChecks, weighByAnswer } from "@pinwalk/host/diagnosis/ranking/rank-checks.js";
import { type FaultModel, searchExplanations } from "@pinwalk/host/diagnosis/ranking/search-explanations.js";
import { describe, expect, it } from "vitest";

// The polybox of de Kleer and Williams (Artificial Intelligence 32, 1987, 97–130): three multipliers, two adders,
// A 3, B 2, C 2, D 3, E 3; F = 10 and G = 12 are observed where 12 and 12 are due.
const components = ["M1", "M2", "M3", "A1", "A2"];
const faultChance = 0.01;

interface Values {
  x?: number;
  y?: number;
  z?: number;
}

/** What X, Y and Z must be when the components named are broken (and may put out anything); undefined: contradiction. */
function valuesGiven(broken: readonly string[]): Values | undefined {
  const works = (name: string) => !broken.includes(name);
  const x = works("M1") ? 6 : works("A1") ? (works("M2") ? 4 : works("M3") && works("A2") ? 4 : undefined) : undefined;
  const z = works("M3") ? 6 : works("A2") && works("M2") ? 6 : undefined;
  let y = works("M2") ? 6 : undefined;
  if (works("A1") && x !== undefined && y === undefined) y = 10 - x;
  if (works("A2") && z !== undefined && y === undefined) y = 12 - z;
  if (works("A1") && x !== undefined && y !== undefined && x + y !== 10) return undefined;
  if (works("A2") && y !== undefined) {
    const needed = 12 - y;
    if (works("M3") && needed !== 6) return undefined;
    return { ...(x === undefined ? {} : { x }), y, z: needed };
  }
  return { ...(x === undefined ? {} : { x }), ...(y === undefined ? {} : { y }), ...(z === undefined ? {} : { z }) };
}

const polybox: FaultModel<string> = {
  faults: components,
  logPrior: (faults) =>
    faults.length * Math.log(faultChance) + (components.length - faults.length) * Math.log(1 - faultChance),
  logLikelihood: (faults) => (valuesGiven(faults) === undefined ? Number.NEGATIVE_INFINITY : 0),
};

function diagnosed() {
  const { explanations } = searchExplanations(polybox, { mostFaults: 2, mostPairs: 100, cutoff: 50 });
  const total = explanations.reduce((sum, { logWeight }) => sum + Math.exp(logWeight), 0);
  return explanations.map(({ faults, logWeight }) => ({
    faults: [...faults],
    probability: Math.exp(logWeight) / total,
  }));
}

function probes(candidates: { faults: string[] }[]) {
  const outcomes = [4, 6, 8];
  return (["x", "y", "z"] as const).map((check) => ({
    check,
    effortMinutes: 1,
    chances: candidates.map(({ faults }) => {
      const value = valuesGiven(faults)?.[check];
      return outcomes.map((outcome) => (value === undefined ? 1 / outcomes.length : value === outcome ? 1 : 0));
    }),
  }));
}

describe("the polybox, through the ranking that ranks a vehicle's faults", () => {
  it("finds exactly the four minimal diagnoses", () => {
    const found = diagnosed().map(({ faults }) => faults.sort().join("+"));
    expect(found.sort()).toEqual(["A1", "A2+M2", "M1", "M2+M3"]);
  });

  it("gives the two single faults 0.495 each, an entropy of 1.0808 bit in all", () => {
    const candidates = diagnosed();
    expect(candidates[0]?.probability).toBeCloseTo(0.495, 3);
    expect(entropyBits(candidates.map(({ probability }) => probability))).toBeCloseTo(1.0808, 3);
  });

  it("probes X first, leaving 0.0809 bit, against 1.000 for Y and 1.035 for Z", () => {
    const candidates = diagnosed();
    const probabilities = candidates.map(({ probability }) => probability);
    const ranked = rankChecks(probabilities, probes(candidates));
    const left = (check: string) => entropyBits(probabilities) - (ranked.find((one) => one.check === check)?.bits ?? 0);
    expect(ranked[0]?.check).toBe("x");
    expect(left("x")).toBeCloseTo(0.0809, 3);
    expect(left("y")).toBeCloseTo(1.0, 2);
    expect(left("z")).toBeCloseTo(1.035, 2);
  });

  it("blames M1 once X turns out to be 4, and A1 once it turns out to be 6", () => {
    const candidates = diagnosed();
    const probabilities = candidates.map(({ probability }) => probability);
    const [probeX] = probes(candidates);
    const blamed = (outcome: number) => {
      const after = weighByAnswer(probabilities, probeX?.chances ?? [], outcome);
      return candidates[after.indexOf(Math.max(...after))]?.faults;
    };
    expect(blamed(0)).toEqual(["M1"]);
    expect(blamed(1)).toEqual(["A1"]);
  });
});
