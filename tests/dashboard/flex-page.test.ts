import { openVirtualBench } from "@pinwalk/host/bench/virtual/virtual-bench.js";
import type { Locator, Page } from "playwright-core";
import { expect, test } from "vitest";
import { machineWithPorts } from "../server/bench-on-a-port.js";
import { serveForTest } from "../server/serve-for-test.js";
import { describePage, openPage } from "./browser-for-test.js";
import { accessibilityProblems, choosePlan, sidewaysOverflow, textOf } from "./page-steps.js";

const cable = "Coiled umbilical, blade to round";
const machine = machineWithPorts();
/** The first bench that is opened, for the person, runs in real time; whatever follows as fast as it can. */
function realThenFast(): typeof machine {
  let opened = 0;
  return {
    ...machine,
    open: (_bench, vehicle) => openVirtualBench({ ...vehicle, pace: opened++ === 0 ? "real" : "fast" }),
  };
}

const bar = (page: Page, name: RegExp | string) => page.locator(".action-bar").getByRole("button", { name });
const count = (page: Page) => page.locator(".flex-count strong");

async function expectSound(page: Page, state: string): Promise<void> {
  expect([state, ...(await accessibilityProblems(page))]).toEqual([state]);
  await expect.poll(() => sidewaysOverflow(page)).toBe(0);
}

/** How many columns of a strip chart reach down to the axis: interruptions, as a person sees them. */
function columnsAtTheBottom(canvas: Locator): Promise<number> {
  return canvas.evaluate((place) => {
    const one = place as HTMLCanvasElement;
    const ratio = one.height / one.getBoundingClientRect().height;
    const context = one.getContext("2d");
    if (!context) return -1;
    const left = Math.round(48 * ratio);
    const row = Math.round(one.height - 34 * ratio);
    const { data } = context.getImageData(left, row, one.width - left, 1);
    let dark = 0;
    for (let at = 0; at < data.length; at += 4) {
      const opaque = (data[at + 3] ?? 0) > 200;
      if (opaque && (data[at] ?? 255) < 60 && (data[at + 1] ?? 255) < 70) dark += 1;
    }
    return dark;
  });
}

/** Counts tones and buzzes, which nobody hears in a test. */
function countAlarms(): void {
  const heard = { tones: 0, buzzes: 0 };
  Object.assign(globalThis, { heard });
  const start = OscillatorNode.prototype.start;
  OscillatorNode.prototype.start = function begin(when) {
    heard.tones += 1;
    start.call(this, when);
  };
  navigator.vibrate = () => {
    heard.buzzes += 1;
    return true;
  };
}
const alarms = (page: Page) =>
  page.evaluate(() => (globalThis as unknown as { heard: { tones: number; buzzes: number } }).heard);

describePage("the flex watch in the browser", () => {
  test("an interruption of 1 ms is counted, drawn, heard and judged, and a second viewer sees it too", async () => {
    const { url } = await serveForTest({ benches: realThenFast() });
    const page = await openPage(url);
    await page.context().addInitScript(countAlarms);
    await page.reload();
    await choosePlan(page, cable);
    await page.getByRole("link", { name: "Flex watch", exact: true }).click();
    await page.getByLabel("Which conductors").selectOption({ label: "TM alone" });
    await page.getByLabel("Seconds each").fill("300");
    await page.getByLabel("Seconds each").blur();
    await expectSound(page, "to begin");
    await bar(page, "Start flex watch").click();
    await page.getByRole("heading", { name: /^Move the cable: TM/ }).waitFor();
    const strip = page.getByRole("img", { name: /^Voltage at the far end of TM/ });
    await page.getByRole("img", { name: /^Resistance of TM over time, between/ }).waitFor();
    expect([await textOf(count(page)), await columnsAtTheBottom(strip)]).toEqual(["0", 0]);

    await page.getByRole("button", { name: "Interrupt it for 1 ms" }).click();
    await expect.poll(() => textOf(count(page))).toBe("1");
    await expect.poll(() => columnsAtTheBottom(strip)).toBeGreaterThan(0);
    // Nobody has asked for a sound yet.
    expect(await alarms(page)).toEqual({ tones: 0, buzzes: 0 });
    await page.getByRole("button", { name: /^Alarm off/ }).click();
    await expect.poll(() => alarms(page)).toEqual({ tones: 1, buzzes: 0 });
    await page.getByRole("button", { name: "Interrupt it for 120 ms" }).click();
    await expect.poll(() => textOf(count(page))).toBe("2");
    await expect.poll(() => alarms(page)).toEqual({ tones: 2, buzzes: 1 });
    await expectSound(page, "under watch");
    // At any scale.
    await page.getByRole("radio", { name: "All" }).check();
    await expect.poll(() => columnsAtTheBottom(strip)).toBeGreaterThan(0);

    const late = await openPage(url, { viewport: { width: 360, height: 740 }, colorScheme: "dark" });
    await late.goto(`${url}/#flex-watch`);
    await expect.poll(() => textOf(count(late))).toBe("2");
    await late.getByRole("img", { name: /2 interruptions, the longest 1[12]\d\.\d ms/ }).waitFor();
    const rows = late.getByRole("region", { name: "Interruptions" }).locator("tbody tr");
    expect(await rows.count()).toBe(2);
    await expectSound(late, "late, on a phone in the dark");
    for (const target of await late.locator("main button:visible, main select:visible").all()) {
      const box = await target.boundingBox();
      expect(box && Math.min(box.width, box.height)).toBeGreaterThanOrEqual(44);
    }

    await late.getByRole("button", { name: "Enough: judge" }).click();
    const result = page.getByRole("region", { name: "Result of the flex watch" });
    await result.waitFor();
    expect(await textOf(result.getByRole("heading"))).toBe("Fail");
    await page.getByText("TM was interrupted 2 times").waitFor();
    await expect.poll(() => columnsAtTheBottom(strip)).toBeGreaterThan(0);
    await expectSound(page, "judged");
    const download = page.waitForEvent("download");
    await result.getByRole("link", { name: "Download the result" }).click();
    expect((await download).suggestedFilename()).toBe("pinwalk-flex-1.json");

    // Kept with the cable: its notes are part of the record.
    await result.getByRole("button", { name: "Put it into the record's notes" }).click();
    await page.getByRole("link", { name: "Walk", exact: true }).click();
    await bar(page, "Start walk").click();
    await page.getByRole("status", { name: "Verdict" }).waitFor();
    expect(await page.getByLabel("Notes").inputValue()).toContain("TM was interrupted 2 times");
  });

  test("limits are kept within their bounds, a sound cable passes by keyboard alone, and Escape stops", async () => {
    const { url } = await serveForTest({ benches: realThenFast() });
    const page = await openPage(url, { viewport: { width: 360, height: 740 } });
    await choosePlan(page, cable);
    await page.goto(`${url}/#flex-watch`);
    const seconds = page.getByLabel("Seconds each");
    await seconds.fill("2");
    await seconds.blur();
    await seconds.fill("0");
    await seconds.blur();
    await page.getByLabel("Interruptions allowed").fill("3");
    await page.getByLabel("Interruptions allowed").blur();
    await page.getByText("Passes with at most 3 interruptions of 1 ms or longer").waitFor();
    await page.reload();
    expect(await seconds.inputValue()).toBe("2");
    await bar(page, "Start flex watch").focus();
    await page.keyboard.press("Enter");
    await page.getByRole("heading", { name: /^Move the cable: LT/ }).waitFor();
    await expectSound(page, "under watch on a phone");
    await page.keyboard.press("Escape");
    await page.getByText("The flex watch was stopped by hand. All outputs are off.").waitFor();
    await expectSound(page, "stopped");
    await bar(page, "Watch again").focus();
    await page.keyboard.press("Enter");
    await page.getByText("All 5 conductors held while the cable was moved.").waitFor();
    expect(await page.locator(".flex-rows .tone-pass").count()).toBeGreaterThanOrEqual(5);
  });
});
