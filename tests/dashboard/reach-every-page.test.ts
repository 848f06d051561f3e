import type { Page } from "playwright-core";
import { expect, test } from "vitest";
import { machineWithPorts } from "../server/bench-on-a-port.js";
import { serveForTest } from "../server/serve-for-test.js";
import { describePage, openPage } from "./browser-for-test.js";
import {
  accessibilityProblems,
  choosePlan,
  goToPage,
  hatchback,
  sidewaysOverflow,
  walkToVerdict,
} from "./page-steps.js";

const benches = machineWithPorts();
const umbilical = "Coiled umbilical, blade to round";

interface Look {
  readonly state: string;
  readonly prepare: (page: Page) => Promise<void>;
  readonly width: number;
  readonly theme: "Light" | "Dark" | "Sunlight";
}

/** How every page is looked at. A further state is a row here; a further page is found by itself. */
const looks: readonly Look[] = [
  { state: "nothing chosen", prepare: async () => undefined, width: 360, theme: "Light" },
  {
    state: "a vehicle walked",
    prepare: async (page) => {
      await goToPage(page, "Set up");
      await choosePlan(page, hatchback);
      await walkToVerdict(page);
    },
    width: 1280,
    theme: "Dark",
  },
  { state: "a vehicle walked, outdoors", prepare: async () => undefined, width: 360, theme: "Sunlight" },
  {
    state: "a cable chosen",
    prepare: async (page) => {
      await goToPage(page, "Set up");
      await choosePlan(page, umbilical);
    },
    width: 1280,
    theme: "Light",
  },
];

/** The titles of the pages, as a person finds them. */
async function pagesOf(page: Page): Promise<string[]> {
  const titles = await page.locator("nav[aria-label=Pages] a").allTextContents();
  return titles.map((title) => title.trim());
}

describePage("every page there is", () => {
  test("axe objects to nothing and nothing hangs over the side, whatever is chosen, however wide, in every light", async () => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url);
    const found: string[] = [];
    for (const { state, prepare, width, theme } of looks) {
      await page.setViewportSize({ width: 1280, height: 800 });
      await prepare(page);
      await page.setViewportSize({ width, height: 740 });
      await page.getByLabel("Light or dark").selectOption({ label: theme });
      const titles = await pagesOf(page);
      expect(titles.length).toBeGreaterThan(7);
      for (const title of titles) {
        await goToPage(page, title);
        await page.locator(`nav[aria-label=Pages] a[aria-current]`, { hasText: title }).waitFor({ state: "attached" });
        const where = `${title}, ${state}, ${width} px, ${theme}`;
        for (const problem of await accessibilityProblems(page)) found.push(`${where}: ${problem}`);
        const over = await sidewaysOverflow(page);
        if (over > 0) found.push(`${where}: ${over} px over the side`);
      }
    }
    expect(found).toEqual([]);
  });

  test("on a phone the list of pages fits the plan, is reached by keyboard, closes on Escape and leaves stop in sight", async () => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url, { viewport: { width: 360, height: 640 } });
    await choosePlan(page, umbilical);
    const toggle = page.getByRole("button", { name: "Pages", exact: true });
    await toggle.focus();
    await page.keyboard.press("Enter");
    const list = page.getByRole("navigation", { name: "Pages" });
    // With the key itself, before the next picture: else a quick Tab and Enter would press what stands beside the button.
    const atPage = () => page.evaluate(() => document.activeElement?.getAttribute("aria-current"));
    expect(await atPage()).toBe("page");
    await list.waitFor();
    expect(await list.getByRole("link", { name: "Walk-round" }).count()).toBe(0);
    for (const link of await list.getByRole("link").all()) {
      const box = await link.boundingBox();
      expect(box && Math.min(box.width, box.height)).toBeGreaterThanOrEqual(44);
    }
    const bar = await page.locator(".action-bar").boundingBox();
    const sheet = await list.boundingBox();
    expect(sheet && bar && sheet.y >= 0 && sheet.y + sheet.height <= bar.y + 1).toBe(true);
    await page.keyboard.press("Escape");
    await list.waitFor({ state: "hidden" });
    expect(await page.evaluate(() => document.activeElement?.textContent)).toContain("Pages");
    await page.keyboard.press("Enter");
    await list.waitFor();
    await expect.poll(atPage).toBe("page");
    await page.keyboard.press("Tab");
    await page.keyboard.press("Enter");
    await list.waitFor({ state: "hidden" });
  });

  test("whoever wants less motion gets none", async () => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url, { reducedMotion: "reduce" });
    await choosePlan(page, hatchback);
    for (const title of await pagesOf(page)) {
      await goToPage(page, title);
      const moving = await page.evaluate(() =>
        Array.from(document.querySelectorAll("*"))
          .filter((one) => {
            const { animationName, transitionDuration } = getComputedStyle(one);
            return animationName !== "none" || /[1-9]/.test(transitionDuration);
          })
          .map((one) => one.className.toString()),
      );
      expect([title, moving]).toEqual([title, []]);
    }
  });
});
