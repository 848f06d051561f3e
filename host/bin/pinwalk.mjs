#!/usr/bin/env node
import { ensureReady } from "./ready.mjs";

// `npx pinwalk …` works right after `npm install`: what is not compiled yet is compiled now, with its words on stderr.
try {
  await ensureReady();
} catch (error) {
  process.stderr.write(`Pinwalk could not be built: ${error instanceof Error ? error.message : error}\n`);
  process.exit(3);
}
await import("../dist/cli/main.js");
