#!/usr/bin/env node
import { ensureReady } from "./ready.mjs";

// `npx pinwalk …` works right after `npm install`: what is not compiled yet is compiled now, with its words on stderr.
// What goes wrong here ends with 3 (could not test), never with Node's own 1, which here means a failed vehicle.
try {
  await ensureReady();
  await import("../dist/cli/main.js");
} catch (error) {
  process.stderr.write(`Pinwalk could not be built or started: ${error instanceof Error ? error.message : error}\n`);
  process.exit(3);
}
