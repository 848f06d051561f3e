import { expect, test } from "vitest";
import { machineWithPorts } from "../server/bench-on-a-port.js";
import { serveForTest } from "../server/serve-for-test.js";
import { describePage, openPage } from "./browser-for-test.js";
import { choosePlan, circuitVerdicts, hatchback, putIn, textOf, walkToVerdict } from "./page-steps.js";

const benches = machineWithPorts();

describePage("a walk in the browser", () => {
  test("a healthy vehicle reads as planned in every circuit", async () => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url);
    await choosePlan(page, hatchback);

    expect(await walkToVerdict(page)).not.toBe("Fail");
    expect(await circuitVerdicts(page)).toEqual({ LT: "Pass", RT: "Pass", TM: "Pass" });
    expect(await textOf(page.locator("tr[data-pin=LT] .circuit-measured strong"))).toMatch(/^[12]\.\d\d\sA$/);
  });

  test("a dead lamp is read off the page as open, in its circuit alone", async () => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url);
    await choosePlan(page, hatchback);
    await putIn(page, "Open circuit", "lamp left rear, bright");

    expect(await walkToVerdict(page)).toBe("Fail");
    expect(await circuitVerdicts(page)).toEqual({ LT: "Open", RT: "Pass", TM: "Pass" });
    expect(await page.getByText("One circuit needs work: LT open.").isVisible()).toBe(true);

    // Taken out again, the next walk finds nothing.
    await page.getByRole("link", { name: "Set up" }).click();
    await page.getByRole("button", { name: /^Take out/ }).click();
    await page.getByText("None: the vehicle is healthy").waitFor();
    await page.getByRole("button", { name: "Walk again" }).click();
    await page.locator("tr[data-pin=LT] .circuit-verdict", { hasText: "Pass" }).waitFor();
    expect(await circuitVerdicts(page)).toEqual({ LT: "Pass", RT: "Pass", TM: "Pass" });
  });

  test("a pin that something else feeds is not driven, and the page says what it carries", async () => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url);
    await choosePlan(page, hatchback);
    await putIn(page, "Short to power", "terminal RT, right turn and stop");

    expect(await walkToVerdict(page)).toBe("Fail");
    expect((await circuitVerdicts(page)).RT).toBe("Short to power");
    await page.getByRole("button", { name: /^RT/ }).click();
    expect(await textOf(page.locator(".current .standing"))).toContain("Not driven");
  });

  test("two browsers see one walk, and one that comes late sees it too", async () => {
    const { url } = await serveForTest({ benches });
    const one = await openPage(url);
    const two = await openPage(url);
    await choosePlan(one, hatchback);
    await walkToVerdict(one);
    await two.getByRole("link", { name: "Walk", exact: true }).click();
    const seen = await circuitVerdicts(one);
    await expect.poll(() => circuitVerdicts(two)).toEqual(seen);
    const late = await openPage(url);
    await late.getByRole("link", { name: "Walk", exact: true }).click();
    await expect.poll(() => circuitVerdicts(late)).toEqual(seen);
    const amps = await textOf(one.locator(".big-number"));
    await expect.poll(() => textOf(late.locator(".big-number"))).toBe(amps);
  });

  test("the readings can be taken away as a file", async () => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url);
    await choosePlan(page, hatchback);
    await walkToVerdict(page);
    const download = page.waitForEvent("download");
    await page.getByRole("link", { name: "Readings (JSON)" }).click();
    expect((await download).suggestedFilename()).toBe("pinwalk-readings-walk-1.json");
  });
});
