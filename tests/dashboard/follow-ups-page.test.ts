import { openVirtualBench } from "@pinwalk/host/bench/virtual/virtual-bench.js";
import type { Page } from "playwright-core";
import { expect, test } from "vitest";
import { machineWithPorts } from "../server/bench-on-a-port.js";
import { serveForTest } from "../server/serve-for-test.js";
import { describePage, openPage } from "./browser-for-test.js";
import {
  accessibilityProblems,
  choosePlan,
  circuitVerdicts,
  goToPage,
  hatchback,
  putIn,
  sidewaysOverflow,
  textOf,
  walkToVerdict,
} from "./page-steps.js";

const machine = machineWithPorts();

/** The first bench that is opened, for the walk, runs as fast as it can; the second in real time, for the person. */
function walkFastThenReal(): typeof machine {
  let opened = 0;
  return {
    ...machine,
    open: (_bench, vehicle) => openVirtualBench({ ...vehicle, pace: opened++ === 0 ? "fast" : "real" }),
  };
}

async function walkedPage(
  viewport = { width: 1280, height: 800 },
  plan = hatchback,
): Promise<{ page: Page; url: string }> {
  const { url } = await serveForTest({ benches: walkFastThenReal() });
  const page = await openPage(url, { viewport });
  await choosePlan(page, plan);
  return { page, url };
}

const bar = (page: Page, name: RegExp | string) => page.locator(".action-bar").getByRole("button", { name });

async function expectSound(page: Page, state: string): Promise<void> {
  expect([state, ...(await accessibilityProblems(page))]).toEqual([state]);
  await expect.poll(() => sidewaysOverflow(page)).toBe(0);
}

/** Taps on the drawing what the simulated vehicle shows, and says so. */
async function answerLight(page: Page, step: number): Promise<void> {
  await page.getByText(`Light ${step} of 3`).waitFor();
  await page.getByRole("heading", { name: "Which lamps are lit?" }).waitFor();
  const seen = page.getByRole("group", { name: "The simulated vehicle from behind" });
  await seen.locator(".filament-glows").first().waitFor();
  const lit = await seen.locator(".filament-glows").evaluateAll((all) =>
    all.map((one) => {
      const lamp = one.closest(".housing")?.querySelector(".housing-name")?.textContent;
      return `${lamp}: ${one.textContent?.split(":")[0]}`;
    }),
  );
  for (const name of lit) await page.getByRole("button", { name, exact: true }).click();
  await page
    .getByRole("button", { name: /(is|are) lit$/, disabled: false })
    .first()
    .click();
}

/** In the page: writes down what a phone would be asked to do. */
function notePhone(): void {
  const felt: string[] = [];
  Object.assign(globalThis, { felt });
  Object.defineProperty(navigator, "vibrate", {
    value: (pattern: unknown) => felt.push(String(pattern)) > 0,
  });
  Object.defineProperty(navigator, "wakeLock", {
    value: {
      request: async () => {
        felt.push("awake");
        return { release: async () => void felt.push("may sleep") };
      },
    },
  });
}

describePage("the back-feed watch in the browser", () => {
  test("says what has to come first, and where", async () => {
    const { page } = await walkedPage({ width: 360, height: 740 });
    await goToPage(page, "Back-feed");
    expect(await bar(page, "Start watch").isDisabled()).toBe(true);
    await page.getByText("Walk every pin first").first().waitFor();
    await expectSound(page, "no walk yet");
    await page.getByRole("link", { name: /^Go to Walk/ }).click();
    expect(page.url()).toContain("#walk");
  });

  test("asks, notices what the simulated vehicle feeds, and the verdict of the walk follows", async () => {
    const { page } = await walkedPage();
    await putIn(page, "Isolation diode shorted", "branch from RT to right rear, bright (wire, splice or diode)");
    await walkToVerdict(page);
    await goToPage(page, "Back-feed");
    await bar(page, "Start watch").click();
    await page.getByRole("heading", { name: "Switch on: the tail lamps" }).waitFor();
    await expectSound(page, "asked");
    await page.getByRole("button", { name: "Skip this one" }).click();
    await page.getByRole("button", { name: "Skip this one" }).waitFor();
    await page.getByRole("heading", { name: "Switch on: the left turn signal" }).waitFor();
    await page.getByRole("button", { name: "the right turn signal" }).click();
    await page.getByRole("heading", { name: "Switch it off again" }).waitFor();
    const row = page.getByRole("row", { name: /^RT/ });
    expect(await textOf(row)).toContain("Back-feed");
    expect(await row.locator("svg").count()).toBe(1);
    for (const width of [360, 1280]) {
      await page.setViewportSize({ width, height: 800 });
      await expectSound(page, `something showed up, ${width} px`);
    }
    await page.getByRole("button", { name: "everything off" }).click();
    await page.getByRole("heading", { name: "Switch on: the right turn signal" }).waitFor();
    await page.getByRole("button", { name: "Finish and judge" }).click();
    await page.locator(".ask", { hasText: "the stop lamps" }).getByText("not answered").waitFor();
    await page.getByRole("link", { name: "See the verdict" }).click();
    await expect.poll(async () => (await circuitVerdicts(page)).RT).toBe("Not isolated");
    await goToPage(page, "Back-feed");
    await bar(page, "Watch again").click();
    await page.getByRole("button", { name: "Finish and judge" }).click();
    await page
      .getByRole("status", { name: "Result" })
      .getByText(/^No function was watched.*leave this step out/)
      .waitFor();
  });
});

describePage("the walk-round in the browser", () => {
  test("a person taps what is lit, and only then the vehicle passes; no light is named on the way", async () => {
    const { page } = await walkedPage();
    expect(await walkToVerdict(page)).toBe("Unsure");
    await goToPage(page, "Walk-round");
    await bar(page, "Start walk-round").click();
    for (const step of [1, 2, 3]) {
      await answerLight(page, step);
      expect(await textOf(page.locator("body"))).not.toMatch(/\b(LT|RT|TM)\b/);
    }
    const result = page.getByRole("status", { name: "Result" });
    await result.waitFor();
    expect(await textOf(result.getByRole("heading"))).toBe("Pass");
    await page.getByRole("link", { name: "See the verdict" }).click();
    expect(await textOf(page.getByRole("status", { name: "Verdict" }).getByRole("heading"))).toBe("Pass");
  });

  test("on a phone everything that is tapped is large, and stop is always in sight", async () => {
    // Lamps on both sides and three between them.
    const { page } = await walkedPage({ width: 360, height: 740 }, "Slate Creek pickup, markers on one branch");
    await page.addInitScript(notePhone);
    await page.reload();
    await walkToVerdict(page);
    await goToPage(page, "Walk-round");
    await bar(page, "Start walk-round").click();
    await page.getByRole("heading", { name: "Which lamps are lit?" }).waitFor();
    await expectSound(page, "lit");
    // The whole vehicle stands above the answers.
    const drawing = await page.getByRole("group", { name: /^The vehicle from behind/ }).boundingBox();
    const answers = await page.locator(".round-answers").boundingBox();
    expect(drawing && answers && answers.y + answers.height - (drawing.y + drawing.height)).toBeGreaterThan(50);
    // The screen stays on, and what is tapped is felt.
    const felt = () => page.evaluate(() => (globalThis as unknown as { felt: string[] }).felt);
    expect((await felt()).at(-1)).toBe("awake");
    await page.getByRole("button", { name: "left rear: Bright" }).click();
    expect((await felt()).slice(-2)).toEqual(["awake", "25"]);
    await page.getByRole("button", { name: "left rear: Bright" }).click();
    for (const target of await page.locator("main button:visible").all()) {
      const box = await target.boundingBox();
      expect(box && Math.min(box.width, box.height)).toBeGreaterThanOrEqual(44);
    }
    const stop = await bar(page, /^Stop/).boundingBox();
    expect(stop && stop.y + stop.height).toBeLessThanOrEqual(740);
    await page.keyboard.press("Escape");
    await page.getByText("stopped by hand. All outputs are off.").waitFor();
    await expect.poll(async () => (await felt()).at(-1)).toBe("may sleep");
    expect(await textOf(page.locator(":focus"))).toBe("Stopped");
    await expectSound(page, "stopped");
  });

  test("a page in sight gives signs of life while a circuit is lit, and not otherwise", async () => {
    const { page } = await walkedPage();
    const sent: string[] = [];
    page.on("websocket", (socket) => socket.on("framesent", ({ payload }) => sent.push(String(payload))));
    const signs = () => sent.filter((frame) => frame.includes("round:keep")).length;
    await page.reload();
    await walkToVerdict(page);
    await goToPage(page, "Walk-round");
    await bar(page, "Start walk-round").click();
    await page.getByRole("heading", { name: "Which lamps are lit?" }).waitFor();
    expect(signs()).toBe(0);
    await expect.poll(signs, { timeout: 10_000 }).toBeGreaterThan(1);
    await bar(page, /^Stop/).click();
    await bar(page, "Walk round again").waitFor();
  });

  test("a phone that is gone leaves no light on; another browser sees it and takes over", async () => {
    const { page: phone, url } = await walkedPage();
    await walkToVerdict(phone);
    await goToPage(phone, "Walk-round");
    const desk = await openPage(`${url}/#set-up`);
    await goToPage(desk, "Walk-round");
    await bar(phone, "Start walk-round").click();
    await desk.getByRole("heading", { name: "Another browser answers" }).waitFor();
    expect(await desk.getByRole("button", { name: "None is lit" }).isDisabled()).toBe(true);
    await phone.close();
    await desk.getByRole("heading", { name: "The light is out" }).waitFor();
    await expectSound(desk, "dark");
    await desk.getByRole("button", { name: /^Light it again/ }).click();
    await desk.getByRole("button", { name: "Not sure", disabled: false }).click();
    await desk.getByText("Light 2 of 3").waitFor();
    await bar(desk, /^Stop/).click();
    await desk.getByText("Nothing was added to the walk.").waitFor();
    await bar(desk, "Walk round again").click();
    for (const step of [1, 2, 3]) {
      await desk.getByText(`Light ${step} of 3`).waitFor();
      await desk.getByRole("button", { name: "Not sure", disabled: false }).click();
    }
    await desk
      .getByRole("status", { name: "Result" })
      .getByText(/^No light was seen for sure, so the verdict is as before/)
      .waitFor();
  });
});
