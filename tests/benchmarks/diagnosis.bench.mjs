import { spawnSync } from "node:child_process";
import { diagnose } from "../../host/dist/diagnosis/diagnose.js";
import { grownPlan } from "../diagnosis/cases-maker/grown-plan.mjs";
import { makeCase, makeCaseOf } from "../diagnosis/cases-maker/make-case.mjs";
import { measureGroups } from "../diagnosis/group-check.mjs";

export const title = "Diagnosis: made cases by ngspice, reliability of the probabilities, time and its growth";

/** Seeds that were looked at while the method was tuned, and seeds that were not. */
const sets = [
  { name: "tuned on", from: 1, count: 60 },
  { name: "tuned on too", from: 200001, count: 60 },
  { name: "kept aside", from: 300001, count: 150 },
];

/** Of each set, the cases whose groups are solved anew, and members of each first group: it takes longer than the diagnosis. */
const grouped = { cases: 30, members: 20 };
/** Explanations this far apart can be told, standard deviations; the leeway is for slopes taken another way. */
const telling = { distance: 2, leeway: 0.5 };

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
  const within = [];
  const between = [];
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
    if (seed < from + grouped.cases) {
      const measured = measureGroups(plan, readings, findings, grouped.members);
      within.push(...measured.within.map(({ apart }) => apart));
      between.push(...measured.between.map(({ apart }) => apart));
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
    `  solved anew: ${within.filter((apart) => apart > telling.distance + telling.leeway).length} of ${within.length} members of the first group could be told from its likeliest (farthest ${Math.max(0, ...within).toFixed(2)} deviations)`,
    `  ${between.filter((apart) => apart < telling.distance - telling.leeway).length} of ${between.length} other groups could not be told from the first`,
    ...bins.map(({ said, right, sum }) =>
      said === 0
        ? ""
        : `  said ${(sum / said).toFixed(2)} on average: right ${right} of ${said} (${(right / said).toFixed(2)})`,
    ),
  ];
  process.stdout.write(`${lines.filter((line) => line !== "").join("\n")}\n`);
}

/** More circuits than any connector has pins, so that the growth shows; the plan is never parsed. */
const grownTo = [4, 7, 10, 13, 16];

/**
 * Milliseconds of processor time, for a healthy plan, one fault and two. Cold: the first diagnosis of a process, of seven
 * circuits. Warm: after one diagnosis of the same readings.
 */
function growth() {
  const cold = [1, 2].map((mostFaults) => casesOf().map(({ faults, seed }) => coldMs(faults, seed, mostFaults)));
  const listed = (values) => values.map((ms) => ms.toFixed(0)).join(", ");
  process.stdout.write(`cold, 7 circuits: singles ${listed(cold[0])} ms; with pairs ${listed(cold[1])} ms\n`);
  process.stdout.write(
    "warm: circuits, singles ms | with pairs ms, each for healthy, one fault, two faults: what a person waits, and the processor's " +
      "time on all threads; medians of some runs\n",
  );
  for (const circuits of grownTo) {
    const grown = grownPlan(circuits);
    const cases = casesOf().map(({ faults, seed }) => makeCaseOf(grown, faults, seed));
    // Big plans have been run in long enough after one.
    const [unseen, seen] = circuits <= 7 ? [3, 9] : [1, 3];
    const time = (readings, mostFaults) => {
      for (let run = 0; run < unseen; run++) diagnose(grown, readings, { mostFaults });
      const runs = Array.from({ length: seen }, () => timed(() => diagnose(grown, readings, { mostFaults })));
      return `${median(runs.map(({ waited }) => waited))} (${median(runs.map(({ worked }) => worked))})`;
    };
    const row = [1, 2].map((mostFaults) => cases.map(({ readings }) => time(readings, mostFaults)).join(", "));
    process.stdout.write(`${String(circuits).padStart(6)}: ${row[0]} | ${row[1]}\n`);
  }
}

/** Milliseconds by the clock, and of the processor with those of its collector and compiler threads. */
function timed(work) {
  const began = performance.now();
  const from = process.cpuUsage().user;
  work();
  return { waited: performance.now() - began, worked: (process.cpuUsage().user - from) / 1000 };
}

/** Of an odd number of values, in whole milliseconds. */
function median(values) {
  return values.toSorted((one, other) => one - other)[(values.length - 1) / 2].toFixed(0);
}

function casesOf() {
  return [
    { faults: [], seed: 1 },
    { faults: [{ kind: "high-resistance", at: "wire:P2", ohms: 1.5 }], seed: 2 },
    {
      faults: [
        { kind: "open", at: "lamp:P1a.bright" },
        { kind: "bridge", at: "wire:P2+wire:P3" },
      ],
      seed: 3,
    },
  ];
}

/** One diagnosis in a process of its own: nothing is compiled yet. */
function coldMs(faults, seed, mostFaults) {
  const from = (path) => JSON.stringify(new URL(path, import.meta.url).href);
  const script = `
    import { diagnose } from ${from("../../host/dist/diagnosis/diagnose.js")};
    import { grownPlan } from ${from("../diagnosis/cases-maker/grown-plan.mjs")};
    import { makeCaseOf } from ${from("../diagnosis/cases-maker/make-case.mjs")};
    const plan = grownPlan(7);
    const { readings } = makeCaseOf(plan, ${JSON.stringify(faults)}, ${seed});
    const before = process.cpuUsage().user;
    diagnose(plan, readings, { mostFaults: ${mostFaults} });
    console.log((process.cpuUsage().user - before) / 1000);`;
  return Number(spawnSync(process.execPath, ["--input-type=module", "-e", script], { encoding: "utf8" }).stdout);
}
