// A longer hunt: node tests/fuzz/long-run.mjs SECONDS [--keep]
// Fuzzes the firmware's reception for SECONDS from the kept corpus and the golden lines, then compares both readers on everything that
// was found, and for a quarter as long on small changes of it. `--keep` puts what covers something new into fixtures/fuzz-corpus. Ends with 1 on a finding, which stays in the folder named.
import { spawnSync } from "node:child_process";
import { cpSync, mkdirSync, readdirSync, rmSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { runnerImport } from "vite";

const here = fileURLToPath(new URL(".", import.meta.url));
const load = async (file) => (await runnerImport(join(here, file), { root: here, logLevel: "error" })).module;
const { FuzzBuild, corpusFiles, corpusFolder, inputOf } = await load("fuzz-build.ts");
const { mutated } = await load("mutate.ts");
const { SeededRandom } = await load("../line-attack/seeded-random.ts");
const { codecOutcomes, heardFromBench } = await load("codec-outcomes.ts");
const { transcriptFiles, transcriptRows } = await load("../link/transcript-rows.ts");

const LONGEST_INPUT = 150;
const BATCH = 1000;
const MOST_SHOWN = 10;
const seconds = Number(process.argv[2]);
if (!(seconds > 0)) {
  process.stderr.write("Say for how many seconds: node tests/fuzz/long-run.mjs 60\n");
  process.exit(2);
}

const build = new FuzzBuild();
const folder = (name) => {
  const path = join(build.folder, name);
  mkdirSync(path);
  return path;
};
const found = folder("found");
for (const file of corpusFiles()) cpSync(file, join(found, file.slice(corpusFolder.length)));
for (const file of transcriptFiles) {
  for (const [at, { bytes }] of transcriptRows(file).entries()) {
    writeFileSync(join(found, `golden-${file}-${at}`), Uint8Array.from([...bytes, 0x0a]));
  }
}

const findings = folder("findings");
const fuzz = spawnSync(
  build.program,
  [
    found,
    `-max_total_time=${seconds}`,
    `-max_len=${LONGEST_INPUT}`,
    `-artifact_prefix=${findings}/`,
    "-print_final_stats=1",
  ],
  { encoding: "latin1", maxBuffer: 1 << 28 },
);
const stat = (name) => /(\d+)$/m.exec(fuzz.stderr.split("\n").find((line) => line.includes(name)) ?? "")?.[1] ?? "?";
process.stdout.write(`executions: ${stat("number_of_executed_units")}\n`);
process.stdout.write(`sanitizer reports and failed checks: ${readdirSync(findings).length}\n`);
if (fuzz.status !== 0) process.stdout.write(`${fuzz.stderr.split("\n").slice(-40).join("\n")}\n`);

let compared = 0;
let differences = 0;
function compare(inputs) {
  const batch = inputs.filter(({ length }) => length > 0);
  compared += batch.length;
  for (const [at, outcomes] of build.outcomesOfBytes(batch).entries()) {
    const bytes = batch[at];
    heardFromBench(bytes);
    if (JSON.stringify(outcomes) === JSON.stringify(codecOutcomes(bytes))) continue;
    differences += 1;
    if (differences > MOST_SHOWN) continue;
    process.stdout.write(`differs: ${Buffer.from(bytes).toString("hex")}\n`);
    process.stdout.write(`  C  ${outcomes}\n  TS ${codecOutcomes(bytes)}\n`);
  }
}

const inputs = readdirSync(found).map((name) => inputOf(join(found, name)));
for (let from = 0; from < inputs.length; from += BATCH) compare(inputs.slice(from, from + BATCH));
const random = new SeededRandom(Date.now());
for (const end = Date.now() + seconds * 250; Date.now() < end; ) {
  compare(Array.from({ length: BATCH }, () => mutated(random.pick(inputs), random)));
}
process.stdout.write(`inputs that both readers were compared on: ${compared}, differences: ${differences}\n`);

if (process.argv.includes("--keep")) {
  const least = folder("least");
  spawnSync(build.program, ["-merge=1", `-max_len=${LONGEST_INPUT}`, least, found], { stdio: "ignore" });
  const names = readdirSync(least);
  for (const file of corpusFiles()) rmSync(file);
  for (const name of names) cpSync(join(least, name), join(corpusFolder, name));
  const size = names.reduce((sum, name) => sum + statSync(join(least, name)).size, 0);
  process.stdout.write(`kept: ${names.length} inputs, ${size} bytes\n`);
}

const clean = fuzz.status === 0 && differences === 0;
if (clean) build.remove();
else process.stdout.write(`left for a look: ${build.folder}\n`);
process.exitCode = clean ? 0 : 1;
