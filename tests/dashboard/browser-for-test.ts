import { existsSync } from "node:fs";
import { type Browser, type BrowserContextOptions, chromium, type Page } from "playwright-core";
import { beforeAll, describe, expect, onTestFinished } from "vitest";

const executablePath = process.env.CHROMIUM ?? "/usr/bin/chromium";
const args = [
  "--headless",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
  // The sandbox refuses to run as root.
  ...(process.getuid?.() === 0 ? ["--no-sandbox"] : []),
];

/** One for all page tests of this process, with which it ends; every test has a context of its own in it. */
let browser: Promise<Browser> | undefined;

/** Page tests: left out, by name, where chromium is missing; under CI=true they fail there instead. */
export function describePage(title: string, tests: () => void): void {
  const present = existsSync(executablePath) || process.env.CI === "true";
  describe.skipIf(!present)(present ? title : `${title} (needs the Debian package chromium)`, () => {
    beforeAll(async () => {
      if (!(await browser)?.isConnected()) browser = chromium.launch({ executablePath, args });
      await browser;
    });
    tests();
  });
}

/** A server that a test has closed cannot be reached: that one is wanted. */
const usuallyWanted = /ERR_CONNECTION_REFUSED/;

/**
 * A page of its own for one test. The test fails if the page reports an error, a refused resource included, unless it
 * is `wanted`.
 */
export async function openPage(
  url: string,
  options: BrowserContextOptions = {},
  wanted: RegExp = usuallyWanted,
): Promise<Page> {
  if (!browser) throw new Error("openPage belongs inside describePage");
  const context = await (await browser).newContext({
    viewport: { width: 1280, height: 800 },
    reducedMotion: "reduce",
    // What a browser keeps for a page without its server has tests of its own.
    serviceWorkers: "block",
    ...options,
  });
  context.setDefaultTimeout(30_000);
  const page = await context.newPage();
  const errors: string[] = [];
  page.on("pageerror", (error) => errors.push(error.message));
  page.on("console", (message) => {
    if (message.type() === "error" && !wanted.test(message.text())) errors.push(message.text());
  });
  onTestFinished(async () => {
    await context.close();
    expect(errors).toEqual([]);
  });
  await page.goto(url);
  await page.getByRole("heading", { name: "Bench", exact: false }).first().waitFor();
  return page;
}
