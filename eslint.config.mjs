import tseslint from "typescript-eslint";

// Three typed rules only: a forgotten await leaves a pin on. Everything else is the formatter's and the compiler's work.
export default tseslint.config(
  {
    ignores: [
      "**/dist/**",
      "**/generated/**",
      "**/node_modules/**",
      "**/*.mjs",
      "**/*.cjs",
      "vitest.config.ts",
      "dashboard/vite.config.ts",
    ],
  },
  {
    files: ["host/src/**/*.ts", "firmware-protocol/src/**/*.ts", "dashboard/src/**/*.{ts,tsx}", "tests/**/*.ts"],
    languageOptions: { parser: tseslint.parser, parserOptions: { projectService: true } },
    plugins: { "@typescript-eslint": tseslint.plugin },
    rules: {
      "@typescript-eslint/no-floating-promises": "error",
      "@typescript-eslint/no-misused-promises": "error",
      "@typescript-eslint/switch-exhaustiveness-check": ["error", { considerDefaultExhaustiveForUnions: true }],
    },
  },
);
