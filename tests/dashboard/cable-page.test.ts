import { readFile } from "node:fs/promises";
import { expect, test } from "vitest";
import { machineWithPorts } from "../server/bench-on-a-port.js";
import { serveForTest } from "../server/serve-for-test.js";
import { describePage, openPage } from "./browser-for-test.js";
import { accessibilityProblems, choosePlan, putIn, sidewaysOverflow, textOf } from "./page-steps.js";

const benches = machineWithPorts();
const umbilical = "Coiled umbilical, blade to round";

describePage("a batch of cables", () => {
  test("three cables by one key, one of them faulty: matrix, spread, records and a table to take away", async () => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url);
    const expectSound = async (state: string) => {
      for (const width of [1280, 360]) {
        await page.setViewportSize({ width, height: 800 });
        await expect.poll(() => sidewaysOverflow(page)).toBe(0);
        expect([state, width, ...(await accessibilityProblems(page))]).toEqual([state, width]);
      }
      await page.setViewportSize({ width: 1280, height: 800 });
    };
    const said = page.locator(".batch-now").getByRole("status");
    const cell = (near: string, at: number) =>
      page
        .locator(".matrix tbody tr", { has: page.getByRole("rowheader", { name: near, exact: true }) })
        .locator("td")
        .nth(at);

    await choosePlan(page, umbilical);
    await page.getByRole("link", { name: "Cable check" }).click();
    await page.getByLabel("Batch (needed)").fill("W48");
    await page.getByLabel("First serial number").fill("C-009");
    await page.getByLabel("Tested by (needed)").fill("P. Quill");
    await expectSound("before the batch");
    await page.getByRole("button", { name: "Begin the batch" }).click();

    for (const serial of ["C-009", "C-010"]) {
      await expect.poll(() => page.getByLabel(/^Serial number/).inputValue()).toBe(serial);
      await expect.poll(() => page.evaluate(() => document.activeElement?.id)).toBe("batch-serial");
      await page.keyboard.press("Enter");
      await said.getByText(`${serial}: Pass`).waitFor();
    }
    expect(await textOf(cell("LT", 0))).toMatch(/^through0\.\d\d\d\sΩ$/);
    expect(await textOf(cell("LT", 1))).toBe("apart");

    // The third has two far ends exchanged.
    await page.getByRole("link", { name: "Set up" }).click();
    await putIn(page, "Swapped wires", "far terminal LT and far terminal RT");
    await page.getByRole("link", { name: "Cable check" }).click();
    await page.getByLabel(/^Serial number/).fill("C-500");
    await page.keyboard.press("Enter");
    await said.getByText("C-500: Fail").waitFor();
    expect([await textOf(cell("LT", 0)), await textOf(cell("LT", 1))]).toEqual([
      "open",
      expect.stringMatching(/^astray0\.\d\d\d\sΩ$/),
    ]);
    await expectSound("a faulty cable");

    await page.getByText("3 cables tested, 2 passed").waitFor();
    const table = page.locator(".batch-table");
    expect(await table.locator("tbody").last().getByRole("rowheader").allTextContents()).toEqual([
      "C-500",
      "C-010",
      "C-009",
    ]);
    const median = table.getByRole("row", { name: /^Median/ });
    expect(await textOf(median.locator(".number").first())).toMatch(/^0\.\d\d\d\sΩ$/);
    await expect.poll(() => page.getByLabel(/^Serial number/).inputValue()).toBe("C-501");

    const download = page.waitForEvent("download");
    await page.getByRole("link", { name: "Cables (CSV)" }).click();
    const lines = (await readFile(await (await download).path(), "utf8")).trim().split("\r\n");
    expect(lines).toHaveLength(4);
    expect(
      lines.map((line) =>
        line
          .split(",")
          .slice(1, 4)
          .join()
          .replace(/,[^,]*Z/, ""),
      ),
    ).toEqual(["serial,tested_at,verdict", "C-009,pass", "C-010,pass", "C-500,fail"]);
    await table.getByRole("link", { name: "C-500" }).click();
    await page.getByText("W48").first().waitFor();
  }, 90_000);
});
