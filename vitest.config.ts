import { availableParallelism } from "node:os";
import { defineConfig } from "vitest/config";

// The tests import the compiled packages (dist), so what is tested is what is run. Build first: `npm run build`.
export default defineConfig({
  test: {
    include: ["tests/**/*.test.ts"],
    pool: "forks",
    // Of two cores the runner would leave one to itself, which needs none.
    maxWorkers: Math.max(2, availableParallelism() - 1),
    // One process runs file after file: what is loaded and warm (solver, emulator, browser) serves the next. So no file may
    // leave anything behind, and what belongs before each test stands in the test file, not in a module that several import.
    isolate: false,
    testTimeout: 60_000,
    hookTimeout: 60_000,
    // What a page comes to show takes its time where two files share two cores; a poll ends with the first look that fits.
    expect: { poll: { timeout: 20_000 } },
  },
});
