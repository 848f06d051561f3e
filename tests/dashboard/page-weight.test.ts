import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";
import { expect, test } from "vitest";

const page = fileURLToPath(new URL("../../dashboard/dist", import.meta.url));
const compressed = (path: string) => gzipSync(readFileSync(path)).length;

test("all scripts of the page together stay under 200 kB compressed, and what draws charts is not in the first load", () => {
  const scripts = readdirSync(page, { recursive: true, encoding: "utf8" }).filter((path) => path.endsWith(".js"));
  const sizes = new Map(scripts.map((path) => [path, compressed(join(page, path))]));
  const first = [...readFileSync(join(page, "index.html"), "utf8").matchAll(/src="\/([^"]+\.js)"/g)].map(
    ([, path = ""]) => path,
  );
  const total = (paths: Iterable<string>) => [...paths].reduce((sum, path) => sum + (sizes.get(path) ?? Number.NaN), 0);
  expect(first.length).toBeGreaterThan(0);
  expect(total(sizes.keys())).toBeLessThan(200_000);
  expect(total(first)).toBeLessThan(total(sizes.keys()) - 40_000);
});
