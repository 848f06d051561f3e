import { spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { ensureReady, repositoryRoot } from "../host/bin/ready.mjs";
import { provideDebianTools } from "./debian-tools.mjs";

// `npm test`: everything that has to hold. `--static-only` leaves out what has to run (`npm run lint`).
// Further arguments are handed to the test runner: `npm test -- tests/circuit`.
const staticOnly = process.argv.includes("--static-only");
const picked = process.argv.slice(2).filter((argument) => argument !== "--static-only");
const underCi = process.env.CI === "true";
const bin = (...path) => join(repositoryRoot, "node_modules", ...path);
const node = process.execPath;
const failures = [];

function check(title, command, args) {
  process.stdout.write(`— ${title}\n`);
  const result = spawnSync(command, args, { cwd: repositoryRoot, stdio: ["ignore", "inherit", "inherit"] });
  if (result.status !== 0) failures.push(title);
}

await ensureReady();
const missing = provideDebianTools();
for (const tool of missing) {
  process.stdout.write(`left out: ${tool.checks} (needs the Debian package ${tool.package})\n`);
  if (underCi) failures.push(`Debian package ${tool.package} is missing`);
}

if (picked.length === 0) {
  const tsc = bin("typescript", "bin", "tsc");
  check("format and lint", node, [
    bin("@biomejs", "biome", "bin", "biome"),
    "ci",
    "--colors=off",
    "--error-on-warnings",
    ".",
  ]);
  check("types of the dashboard", node, [tsc, "-p", "dashboard"]);
  check("types of the tests", node, [tsc, "-p", "tests"]);
  check("promises and switches", node, [bin("eslint", "bin", "eslint.js"), "--max-warnings", "0", "."]);
  check("which folder imports which", node, [
    bin("dependency-cruiser", "bin", "dependency-cruise.mjs"),
    "--config",
    ".dependency-cruiser.cjs",
    "host/src",
    "firmware-protocol/src",
    "dashboard/src",
  ]);
  check("generated wire tables are fresh", node, ["firmware-protocol/generate.mjs", "--check"]);
  if (!missing.some((tool) => tool.package === "clang-format"))
    check("format of the firmware", "make", ["-s", "-C", "firmware-protocol/firmware", "format-check"]);
}

const counts = { passed: 0, failed: 0, skipped: 0 };
if (!staticOnly) {
  const folder = mkdtempSync(join(tmpdir(), "pinwalk-tests-"));
  const report = join(folder, "report.json");
  check("tests", node, [
    bin("vitest", "vitest.mjs"),
    "run",
    "--reporter=default",
    "--reporter=json",
    `--outputFile.json=${report}`,
    ...picked,
  ]);
  if (existsSync(report)) {
    const summary = JSON.parse(readFileSync(report, "utf8"));
    counts.passed = summary.numPassedTests;
    counts.failed = summary.numFailedTests;
    counts.skipped = summary.numPendingTests;
  }
  rmSync(folder, { recursive: true, force: true });
  if (counts.passed === 0) failures.push("no test ran");
}

for (const failure of failures) process.stdout.write(`failed: ${failure}\n`);
if (!staticOnly) process.stdout.write(`${counts.passed} passed, ${counts.failed} failed, ${counts.skipped} skipped\n`);
process.exitCode = failures.length === 0 ? 0 : 1;
