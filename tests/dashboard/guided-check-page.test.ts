import type { Page } from "playwright-core";
import { expect, test } from "vitest";
import { machineWithPorts } from "../server/bench-on-a-port.js";
import { serveForTest } from "../server/serve-for-test.js";
import { slowOnceWalked } from "../server/slow-benches.js";
import { WorkbenchClient } from "../server/workbench-client.js";
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

const benches = machineWithPorts();

const next = (page: Page, name: string) => page.getByRole("button", { name: `Next: ${name}` });
const step = (page: Page, name: string) => page.locator(".guide-step", { hasText: name });
const focused = (page: Page) => page.evaluate(() => document.activeElement?.textContent ?? "");

/** Nothing to object to on a desk and on a phone, and nothing sticks out. */
async function expectSound(page: Page, state: string): Promise<void> {
  for (const width of [1280, 360]) {
    await page.setViewportSize({ width, height: 800 });
    await expect.poll(() => sidewaysOverflow(page)).toBe(0);
    expect([state, width, ...(await accessibilityProblems(page))]).toEqual([state, width]);
  }
  await page.setViewportSize({ width: 1280, height: 800 });
}

describePage("an install check, step by step", () => {
  test("a fault is found, a next check answered, the rest left and taken up again after a restart, and kept", async () => {
    const first = await serveForTest({ benches });
    const page = await openPage(first.url, {}, /ERR_CONNECTION_REFUSED|WebSocket|ERR_CONNECTION_RESET/);
    await choosePlan(page, hatchback);
    await putIn(page, "Open circuit", "lamp left rear, bright");
    await next(page, "measure every pin").click();
    await page.getByRole("status", { name: "Verdict" }).waitFor();
    await expect.poll(() => focused(page)).toBe("Fail");
    expect((await circuitVerdicts(page)).LT).toBe("Open");
    expect(await textOf(step(page, "Drive"))).toContain("3 pins driven");

    // Left out with a reason, taken in again, left out.
    await page.getByText("All steps, and leaving one out").click();
    await page.getByLabel("Why Back-feed is left out").fill("its battery is flat");
    await page.getByRole("button", { name: "Leave out: Back-feed" }).click();
    await page.getByRole("button", { name: "Take in again: Back-feed" }).click();
    await expectSound(page, "a step may be left out");
    await page.getByRole("button", { name: "Leave out: Back-feed" }).click();
    await step(page, "Back-feed").getByText("left out: its battery is flat").waitFor();
    await next(page, "walk-round").waitFor();

    // By keys alone: the first outcome of the first check.
    const asked = page.getByRole("region", { name: /Look at this first|Found out/ });
    const question = await textOf(asked.locator(".next-check-text").first());
    const before = await textOf(asked.locator("ol").first());
    await asked.getByRole("group").first().getByRole("button").first().focus();
    await page.keyboard.press("Enter");
    const given = page.locator(".given");
    await given.waitFor();
    expect(await textOf(given)).toContain(question);
    expect(await textOf(asked.locator("ol").first())).not.toBe(before);
    await expect.poll(() => focused(page)).toMatch(/Look at this first|Found out|What came of it/);
    await expectSound(page, "answered");
    const findings = await textOf(page.getByRole("region", { name: "What explains this" }));

    await first.close();
    await page.getByText("Not connected").first().waitFor();
    const { plansDir, recordsPath } = first;
    const second = await serveForTest({ benches, plansDir, recordsPath });
    await page.goto(second.url);
    await page.getByRole("heading", { name: "A check was left unfinished" }).waitFor();
    await expectSound(page, "left unfinished");
    await page.getByRole("button", { name: `Take up again: ${hatchback}` }).click();
    await page.getByText("Taken up again.").waitFor();
    expect((await circuitVerdicts(page)).LT).toBe("Open");
    expect(await textOf(page.getByRole("region", { name: "What explains this" }))).toBe(findings);
    expect(await textOf(step(page, "Back-feed"))).toContain("its battery is flat");

    await given.getByRole("button", { name: /^Take back/ }).click();
    await given.waitFor({ state: "detached" });

    // One light is enough: what was answered counts, the rest is not judged.
    await next(page, "walk-round").click();
    await next(page, "start the lights").click();
    await page.getByText("Light 1 of 3").waitFor();
    await page.getByRole("button", { name: "Not sure", disabled: false }).click();
    await page.getByText("Light 2 of 3").waitFor();
    await expectSound(page, "a light");
    await page.getByRole("button", { name: "None is lit", disabled: false }).click();
    await page.getByText("Light 3 of 3").waitFor();
    await page.getByRole("button", { name: "That is enough" }).click();
    await page.getByRole("status", { name: "Result" }).waitFor();
    await step(page, "Walk-round").getByText("1 of 3 circuits seen").waitFor();

    await page.getByText("All steps, and leaving one out").click();
    const leave = page.getByRole("button", { name: "Leave out: Next checks" });
    if (await leave.isVisible()) await leave.click();
    await next(page, "keep a record").click();
    await expect.poll(() => focused(page)).toBe("Keep a record");
    // And it is in sight, even after whatever the page of the walk does once it is drawn.
    await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
    const form = await page.getByRole("heading", { name: "Keep a record" }).boundingBox();
    expect(form && form.y > 0 && form.y < 700).toBe(true);
    await page.getByLabel("Vehicle number").fill("KX-4471-QB");
    await page.getByLabel("Tested by").fill("R. Calder");
    await page.getByRole("button", { name: "Keep record" }).click();
    await page.getByText("Kept and signed").waitFor();
    await page.getByText("This check is finished.").waitFor();
    await page.reload();
    await page.getByRole("link", { name: "Open the record" }).click();
    await page.getByText("its battery is flat").waitFor();
  }, 120_000);

  test("a pin that a next check needs is kept driven on a phone until it is switched off, answered or left", async () => {
    const { url } = await serveForTest({ benches: slowOnceWalked() });
    const page = await openPage(url, { viewport: { width: 360, height: 740 }, hasTouch: true });
    await choosePlan(page, hatchback);
    await putIn(page, "Open circuit", "lamp left rear, bright");
    await walkToVerdict(page);
    const asked = page.getByRole("region", { name: /Look at this first|Found out/ });
    const drive = asked.getByRole("button", { name: "Keep LT driven" });
    await drive.first().waitFor();
    // Where a check needs no pin driven there is no button.
    for (const item of await asked.locator(".next-check").all()) {
      const pin = /[Dd]rive (LT|RT|TM)\b/.exec(await textOf(item.locator(".next-check-text")))?.[1];
      const buttons = await item.getByRole("button", { name: /^Keep/ }).allTextContents();
      expect(buttons).toEqual(pin === undefined ? [] : [`Keep ${pin} driven`]);
    }
    const first = asked
      .getByRole("listitem")
      .filter({ has: page.getByText("Drive LT") })
      .first();
    expect(await textOf(first)).toContain("Keep clear of its wires and lamps; nobody under the vehicle.");

    await first.getByRole("button", { name: "Keep LT driven" }).tap();
    await first.getByText("LT is driven").waitFor();
    await expect.poll(() => textOf(first.locator(".keep-amps"))).toMatch(/^\d\.\d+\sA$/);
    await expect.poll(() => focused(page)).toBe("Off: LT");
    expect(await sidewaysOverflow(page)).toBe(0);
    expect(await accessibilityProblems(page)).toEqual([]);
    await first.getByRole("button", { name: /^Off/ }).tap();
    await first.getByText("All outputs are off.").waitFor();
    // Not on the button that would drive it again.
    await expect.poll(() => focused(page)).toContain("was stopped by hand");
    expect(await accessibilityProblems(page)).toEqual([]);

    const other = await WorkbenchClient.open(url);
    await first.getByRole("button", { name: "Keep LT driven" }).tap();
    await other.until(({ keepDriven }) => keepDriven.driven);
    await goToPage(page, "Plan");
    await other.until(({ keepDriven }) => keepDriven.state === "ended");
    await goToPage(page, "Walk");

    await first.getByRole("button", { name: "Keep LT driven" }).tap();
    await other.until(({ keepDriven }) => keepDriven.driven);
    await first.getByRole("group").getByRole("button").first().tap();
    const { keepDriven } = await other.until(({ nextCheck }) => nextCheck.history.length === 1);
    expect(keepDriven.state).toBe("ended");
    other.close();
  }, 60_000);

  test("with a real bench the check list comes first, on the page where power goes on", async () => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url);
    await page.getByRole("radio", { name: "Bench 0007" }).check();
    await choosePlan(page, hatchback);
    await page.getByRole("link", { name: "Walk", exact: true }).click();
    await next(page, "tick the check list").click();
    await expect.poll(() => focused(page)).toBe("Before power goes on");
    await expectSound(page, "check list");
    for (const box of await page.getByRole("checkbox").all()) await box.check();
    await next(page, "measure every pin").waitFor();
    expect(await textOf(step(page, "Check list"))).toContain("all ticked");

    // What was ticked for the walk holds no more when a pin is to be driven for a next check.
    await walkToVerdict(page);
    const keep = page.getByRole("button", { name: /^Keep .* driven$/ }).first();
    await page.getByText(/Before a pin can be kept driven: Tick \d checks/).waitFor();
    expect(await keep.isDisabled()).toBe(true);
    await page.getByRole("button", { name: "Go to the check list" }).click();
    await expect.poll(() => focused(page)).toBe("Before power goes on");
    await expectSound(page, "check list after the walk");
    for (const box of await page.getByRole("region", { name: "Before power" }).getByRole("checkbox").all())
      await box.check();
    await expect.poll(() => keep.isDisabled()).toBe(false);
  });
});
