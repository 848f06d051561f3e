import { readdirSync } from "node:fs";
import { join } from "node:path";
import { ensureReady, repositoryRoot } from "../host/bin/ready.mjs";

// `npm run bench`: every file of tests/benchmarks, one after the other. Figures are ratios within one run.
await ensureReady();
const folder = join(repositoryRoot, "tests", "benchmarks");
for (const name of readdirSync(folder).sort()) {
  if (!name.endsWith(".bench.mjs")) continue;
  const { title, run } = await import(join(folder, name));
  process.stdout.write(`\n${title}\n`);
  await run();
}
