import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import type { Locator, Page } from "playwright-core";

const axeSource = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

export const hatchback = "Alder Creek loan hatchback";

export async function textOf(place: Locator): Promise<string> {
  return ((await place.textContent()) ?? "").trim();
}

/** Goes to a page by its name; on a narrow screen the list of pages is opened first. */
export async function goToPage(page: Page, name: string): Promise<void> {
  const link = page.getByRole("navigation", { name: "Pages" }).getByRole("link", { name, exact: true });
  const pages = page.getByRole("button", { name: "Pages", exact: true });
  if (await pages.isVisible()) await pages.click();
  await link.click();
}

export async function choosePlan(page: Page, name: string): Promise<void> {
  await page.getByRole("radio", { name }).check();
  await page.getByRole("heading", { name }).waitFor();
}

export async function putIn(page: Page, kind: string, place: string): Promise<void> {
  await page.getByLabel("What is wrong").selectOption({ label: kind });
  await page.getByLabel("Where").selectOption({ label: place });
  await page.getByRole("button", { name: "Put this fault in" }).click();
  await page.getByRole("button", { name: `Take out: ${kind}, ${place}` }).waitFor();
}

/** Starts a walk from the bar and waits for how it ends; the word of the banner. */
export async function walkToVerdict(page: Page): Promise<string> {
  await page.getByRole("button", { name: /Start walk|Walk again/ }).click();
  const verdict = page.getByRole("status", { name: "Verdict" });
  await verdict.waitFor();
  return textOf(verdict.getByRole("heading"));
}

/** Pin → word in the Verdict column, as it stands on the page. */
export async function circuitVerdicts(page: Page): Promise<Record<string, string>> {
  const rows = await page.locator("table.circuits tbody tr").all();
  const read = rows.map(async (row) => {
    const pin = await textOf(row.locator("th b"));
    return [pin, await textOf(row.locator(".circuit-verdict"))] as const;
  });
  return Object.fromEntries(await Promise.all(read));
}

/** What axe objects to on the page as it is now: rule and places. */
export async function accessibilityProblems(page: Page): Promise<string[]> {
  await page.evaluate(axeSource);
  return page.evaluate(async () => {
    const { axe } = globalThis as unknown as {
      axe: { run(): Promise<{ violations: { id: string; nodes: { target: string[] }[] }[] }> };
    };
    const { violations } = await axe.run();
    return violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.target.join(" ")).join(", ")}`);
  });
}

/** How far the page is wider than its window, CSS pixels. */
export function sidewaysOverflow(page: Page): Promise<number> {
  return page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
}
