/**
 * Whether checks that need a tool are left out: never in CI, where a missing tool is a failure. Says by name what is
 * left out.
 */
export function leftOut(found: boolean, tool: string, checks: string): boolean {
  if (found || process.env.CI === "true") return false;
  console.warn(`left out: ${checks} (needs ${tool})`);
  return true;
}
