import { diagnose } from "../../host/dist/diagnosis/diagnose.js";
import { grownPlan } from "../diagnosis/cases-maker/grown-plan.mjs";
import { makeCase, makeCaseOf } from "../diagnosis/cases-maker/make-case.mjs";

export const title = "Diagnosis: made cases by ngspice, reliability of the probabilities, time and its growth";

/** Seeds that were looked at while the method was tuned, and seeds that were not. */
const sets = [
  { name: "tuned on", from: 1, count: 150 },
  { name: "kept aside", from: 200001, count: 150 },
];

export async function run() {
  for (const set of sets) judgeSet(set);
  growth();
}

const keyOf = (faults) =>
  faults
    .map(({ kind, at }) => `${kind}@${at}`)
    .sort()
    .join(" ");

function judgeSet({ name, from, count }) {
  const tally = {
    healthy: 0,
    healthyFaulty: 0,
    single: 0,
    singleFirst: 0,
    singleFaulty: 0,
    invisible: 0,
    pair: 0,
    pairInThree: 0,
  };
  const bins = [0.5, 0.7, 0.9, 0.97, 1.01].map((below) => ({ below, said: 0, right: 0, sum: 0 }));
  for (let seed = from; seed < from + count; seed++) {
    const { plan, readings, truth } = makeCase(seed);
    const findings = diagnose(plan, readings);
    const group = findings.explanations.find(({ faults }) => keyOf(faults) === keyOf(truth))?.group ?? 99;
    const [first] = findings.groups;
    const bin = bins.find(({ below }) => (first?.probability ?? 0) < below);
    if (bin) {
      bin.said++;
      bin.sum += first?.probability ?? 0;
      if (group === 1) bin.right++;
    }
    const faulty = findings.overall === "fail";
    if (truth.length === 0) {
      tally.healthy++;
      if (faulty) tally.healthyFaulty++;
    } else if (truth.length === 1) {
      tally.single++;
      if (group === 1) tally.singleFirst++;
      if (faulty) tally.singleFaulty++;
      // In the group of "nothing is wrong" the bench says itself that it would not notice the fault.
      else if (group === 1) tally.invisible++;
    } else {
      tally.pair++;
      if (group <= 3) tally.pairInThree++;
    }
  }
  const visible = tally.single - tally.invisible;
  const lines = [
    `${name} (${count} cases):`,
    `  healthy called faulty ${tally.healthyFaulty} of ${tally.healthy}`,
    `  single faults called faulty ${tally.singleFaulty} of ${visible} that the bench can notice (${tally.invisible} more it says it cannot)`,
    `  true single fault in the first group ${tally.singleFirst} of ${tally.single}`,
    `  true pair in the first three groups ${tally.pairInThree} of ${tally.pair}`,
    ...bins.map(({ said, right, sum }) =>
      said === 0
        ? ""
        : `  said ${(sum / said).toFixed(2)} on average: right ${right} of ${said} (${(right / said).toFixed(2)})`,
    ),
  ];
  process.stdout.write(`${lines.filter((line) => line !== "").join("\n")}\n`);
}

/** Milliseconds of processor time; the first runs warm the compiler up and do not count. */
function growth() {
  process.stdout.write("circuits   singles ms   with pairs ms (healthy, one fault, two faults)\n");
  for (const circuits of [4, 7, 10, 12]) {
    const plan = grownPlan(circuits);
    const cases = [
      makeCaseOf(plan, [], 1),
      makeCaseOf(plan, [{ kind: "high-resistance", at: "wire:P2", ohms: 1.5 }], 2),
      makeCaseOf(
        plan,
        [
          { kind: "open", at: "lamp:P1a.bright" },
          { kind: "bridge", at: "wire:P2+wire:P3" },
        ],
        3,
      ),
    ];
    const time = (readings, mostFaults) => {
      for (let warm = 0; warm < 2; warm++) diagnose(plan, readings, { mostFaults });
      const from = process.cpuUsage().user;
      diagnose(plan, readings, { mostFaults });
      return (process.cpuUsage().user - from) / 1000;
    };
    const singles = Math.max(...cases.map(({ readings }) => time(readings, 1)));
    const pairs = cases.map(({ readings }) => time(readings, 2).toFixed(0));
    process.stdout.write(
      `${String(circuits).padStart(8)}   ${String(singles.toFixed(0)).padStart(10)}   ${pairs.join(", ")}\n`,
    );
  }
}
