import { readFile } from "node:fs/promises";
import { firmwareVersion, protocolVersion } from "@pinwalk/firmware-protocol/generated/protocol.js";
import type { Page } from "playwright-core";
import { expect, test } from "vitest";
import { machineWithPorts } from "../server/bench-on-a-port.js";
import { serveForTest } from "../server/serve-for-test.js";
import { describePage, openPage } from "./browser-for-test.js";
import { accessibilityProblems, choosePlan, hatchback, sidewaysOverflow, textOf } from "./page-steps.js";

const phone = { width: 360, height: 740 };
const desk = { width: 1280, height: 800 };

/** Nothing that axe objects to, and nothing wider than the window. */
async function expectSound(page: Page, state: string, sizes = [phone, desk]): Promise<void> {
  for (const size of sizes) {
    await page.setViewportSize(size);
    expect([state, ...(await accessibilityProblems(page))]).toEqual([state]);
    expect([state, (await sidewaysOverflow(page)) <= 0]).toEqual([state, true]);
  }
}

async function press(page: Page, name: string | RegExp): Promise<void> {
  await page.getByRole("button", { name }).click();
}

const result = (page: Page) => page.getByRole("status", { name: "Result" });

describePage("looking after a bench in the browser", () => {
  test("it is asked how it is, tests itself, and every line of that can be read, sought, held and saved", async () => {
    const { url } = await serveForTest();
    const page = await openPage(url, { acceptDownloads: true });
    await page.getByRole("link", { name: "Bench", exact: true }).click();
    await page.getByRole("heading", { name: "Benches on this computer" }).waitFor();
    await press(page, /^Ask how it is/);
    await page.getByText("Never calibrated").waitFor();
    await page.getByText(`${firmwareVersion}, protocol ${protocolVersion}`).waitFor();
    await expectSound(page, "benches");

    await page.getByRole("link", { name: "Self-test", exact: true }).click();
    await page.getByRole("heading", { name: "Self-test" }).waitFor();
    await expectSound(page, "before the self-test", [phone]);
    await page.getByRole("button", { name: "Start self-test" }).click();
    await page.getByRole("heading", { name: "Unplug everything from the bench" }).waitFor();
    await expectSound(page, "a step of the self-test", [desk]);
    await press(page, "Nothing is plugged in");
    await press(page, "Plug the far loads into the virtual bench");
    await page.getByText("the far socket with its").waitFor();
    await press(page, "The loads are plugged in");
    await result(page).waitFor();
    expect(await textOf(result(page).getByRole("heading"))).toBe("Unsure");
    await page.getByText("The slow limit, set to 0.1 A, ended the drive").waitFor();
    await expectSound(page, "after the self-test");
    const download = page.waitForEvent("download");
    await result(page).getByRole("link", { name: "Document (JSON)" }).click();
    const document = JSON.parse(await readFile(await (await download).path(), "utf8"));
    expect(document).toMatchObject({ format: "pinwalk-selftest-report/1", overall: "unsure" });

    await press(page, "Test again");
    await page.getByRole("heading", { name: "Unplug everything from the bench" }).waitFor();
    await page.keyboard.press("Escape");
    expect(await textOf(result(page).getByRole("heading"))).toBe("Stopped");

    await page.getByRole("link", { name: "Serial line" }).click();
    const lines = page.getByRole("list", { name: "Lines, the newest last" }).getByRole("listitem");
    await lines.first().waitFor();
    await page.getByLabel("Only lines with").fill("full supply on one channel: channel 7");
    await expect.poll(() => lines.count()).toBe(1);
    expect(await textOf(lines.first())).toMatch(/to the bench.*Full supply on one channel: channel 7.*\?\w\w drive 7/);
    await expectSound(page, "the serial line");
    await press(page, "Hold still");
    await page.getByText(/^Held still/).waitFor();
    const saved = page.waitForEvent("download");
    await page.getByRole("link", { name: "Save as text" }).click();
    expect(await readFile(await (await saved).path(), "utf8")).toContain("drive 7");
  }, 90_000);

  test("a second bay walks in its own tab while the first is used for something else", async () => {
    const { url } = await serveForTest({ benches: machineWithPorts() });
    const page = await openPage(url);
    await choosePlan(page, hatchback);
    await page.goto(`${url}/#bench`);
    const opened = page.context().waitForEvent("page");
    await page.getByRole("link", { name: "Open bay 2 in a new tab" }).click();
    const second = await opened;
    await second.getByText("Bay 2", { exact: true }).first().waitFor();
    await second.getByRole("link", { name: "Set up", exact: true }).click();
    await choosePlan(second, hatchback);
    await second.getByRole("button", { name: "Start walk" }).click();
    await page.getByText("At work", { exact: true }).waitFor();
    await expectSound(page, "bays");
    expect(await page.getByRole("button", { name: /^Stop/ }).count()).toBe(0);
    await second.getByRole("status", { name: "Verdict" }).waitFor();
    await second.setViewportSize(phone);
    expect(await sidewaysOverflow(second)).toBeLessThanOrEqual(0);
    const readings = await second.getByRole("link", { name: /^Readings/ }).getAttribute("href");
    expect(readings).toMatch(/^\/bay\/2\/documents\/readings/);
    // The first bay has walked nothing.
    await page.getByRole("link", { name: "Walk", exact: true }).click();
    expect(await page.getByRole("status", { name: "Verdict" }).count()).toBe(0);
  }, 60_000);

  test("it is calibrated step by step with what the meter shows, and stopping leaves it as it was", async () => {
    const { url } = await serveForTest();
    const page = await openPage(url);
    await page.goto(`${url}/#bench`);
    await press(page, "Parts that scatter");
    await page.getByText("are off by up to 1 %").waitFor();
    await page.getByRole("link", { name: "Calibration", exact: true }).click();
    await page.getByLabel("Resistor 2, Ω").fill("many");
    const start = page.getByRole("button", { name: "Start calibration" });
    await expect.poll(() => start.isDisabled()).toBe(true);
    await expectSound(page, "a field that holds no number", [phone]);
    await page.getByLabel("Resistor 2, Ω").fill("4,7");
    await press(page, "Two resistors are enough");
    await page.getByLabel(/^Up to 16 letters/).fill("shop-3");
    await start.click();

    await page.getByText("Step 1 of 10").waitFor();
    for (let step = 1; step <= 9; step += 1) {
      await page.getByText(`Step ${step} of 10`).waitFor();
      const offer = page.locator(".simulated-step button");
      if ((await offer.count()) > 0) {
        await offer.click();
        await offer.waitFor({ state: "detached" });
      }
      if (step === 3) {
        await page.getByLabel("The meter shows, V").fill("eleven");
        await press(page, "That is what it shows");
        await page.getByText("Give the meter's volts, above 0").waitFor();
        await expectSound(page, "a step with a caution and a reading that is no number", [phone]);
        await page.getByLabel("The meter shows, V").fill("10,958");
      }
      await press(page, /^That is/);
    }
    await page.getByText("Step 10 of 10").waitFor();
    await page.getByText("Uncertainty of volts").waitFor();
    await expectSound(page, "before it is written", [phone]);
    await press(page, "Write the constants");
    await result(page).waitFor();
    expect(await textOf(result(page).getByRole("heading"))).toBe("Calibrated");
    await page.getByRole("heading", { name: "Calibrations before" }).waitFor();
    await expectSound(page, "after the calibration");
    await page.getByRole("link", { name: "Benches" }).click();
    await page.getByText("Good for another").waitFor();
    await page.getByText("shop-3", { exact: true }).waitFor();

    await page.getByRole("link", { name: "Calibration", exact: true }).click();
    await press(page, "Calibrate again");
    await page.getByText("Step 1 of 10").waitFor();
    await press(page, /^Stop/);
    await page.getByText("Nothing was written: the bench is as it was.").waitFor();
    expect(await textOf(result(page).getByRole("heading"))).toBe("Stopped");
  }, 90_000);
});
