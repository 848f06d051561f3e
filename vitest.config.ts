import { defineConfig } from "vitest/config";

// The tests import the compiled packages (dist), so what is tested is what is run. Build first: `npm run build`.
export default defineConfig({
  test: {
    include: ["tests/**/*.test.ts"],
    pool: "forks",
    testTimeout: 60_000,
    hookTimeout: 60_000,
  },
});
