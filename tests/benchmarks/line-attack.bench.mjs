import { fileURLToPath } from "node:url";
import { runnerImport } from "vite";

export const title = "Serial line under attack: walks through a line that drops, doubles, garbles, delays and cuts";

const folder = fileURLToPath(new URL("../line-attack/", import.meta.url));
const load = async (file) => (await runnerImport(`${folder}${file}`, { root: folder, logLevel: "error" })).module;

const columns = ["walks", "right", "could not test", "cancelled", "wrong", "hang", "left on", "said off wrongly"];

function row(...cells) {
  process.stdout.write(`${cells.map((cell, at) => String(cell).padEnd(at === 0 ? 10 : 18)).join("")}\n`);
}

/** `walks`: how many in all; `firstSeed` makes another run of other mishaps. */
export async function run({ walks = 700, firstSeed = 1 } = {}) {
  const { attackedWalk, cleanWalk } = await load("attacked-walk.ts");
  const { severities, lineAttack } = await load("line-attacks.ts");
  const { subjects } = await load("subjects.ts");
  const clean = [];
  for (const subject of subjects) clean.push(await cleanWalk(subject, 1));

  const names = Object.keys(severities);
  const table = new Map([...names, "all"].map((name) => [name, columns.map(() => 0)]));
  const count = (severity, column) => {
    for (const name of [severity, "all"]) table.get(name)[columns.indexOf(column)] += 1;
  };
  const reasons = new Map();
  let mishaps = 0;
  let longest = 0;
  const bad = [];
  for (let at = 0; at < walks; at += 1) {
    const severity = names[at % names.length];
    const which = Math.floor(at / names.length) % subjects.length;
    const seed = firstSeed + at;
    const walk = await attackedWalk(subjects[which], clean[which], lineAttack(severity, seed, clean[which].lastsMs));
    count(severity, "walks");
    count(severity, walk.ending.replaceAll("-", " "));
    if (walk.leftOn) count(severity, "left on");
    if (walk.saidOffWrongly) count(severity, "said off wrongly");
    if (walk.ending === "could-not-test") reasons.set(walk.detail, (reasons.get(walk.detail) ?? 0) + 1);
    mishaps += walk.mishaps;
    longest = Math.max(longest, walk.longestOnInSilenceMs);
    if (walk.leftOn || walk.saidOffWrongly || ["wrong", "hang"].includes(walk.ending)) {
      bad.push(`${subjects[which].name}, ${severity}, seed ${seed}: ${JSON.stringify(walk)}`);
    }
  }
  row("line", ...columns);
  for (const [name, counts] of table) row(name, ...counts);
  row("mishaps", mishaps);
  process.stdout.write(`longest that anything was on after the last valid line: ${longest.toFixed(1)} ms\n`);
  const why = [...reasons].sort((a, b) => b[1] - a[1]).map(([code, times]) => `${code} ${times}`);
  process.stdout.write(`why not tested: ${why.join(", ")}\n`);
  for (const line of bad) process.stdout.write(`${line}\n`);
}

// Alone, for a longer run: node tests/benchmarks/line-attack.bench.mjs WALKS [FIRST_SEED]
if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [walks = 700, firstSeed = 1] = process.argv.slice(2).map(Number);
  await run({ walks, firstSeed });
}
