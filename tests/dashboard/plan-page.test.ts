import { expect, test } from "vitest";
import { machineWithPorts } from "../server/bench-on-a-port.js";
import { serveForTest } from "../server/serve-for-test.js";
import { describePage, openPage } from "./browser-for-test.js";
import { accessibilityProblems, choosePlan, sidewaysOverflow, textOf } from "./page-steps.js";

const wagon = "Fern Hollow wagon, separate amber turn lamps";

describePage("a plan before anything is cut", () => {
  test("warnings stand in the open with icon, word, limit and source; notes are folded until asked for", async () => {
    const { url } = await serveForTest({ benches: machineWithPorts() });
    const page = await openPage(url);
    await choosePlan(page, wagon);
    const panel = page.getByRole("region", { name: "Before anything is cut" });
    const loss = panel.getByRole("listitem").filter({ hasText: "loses 10.1 %" });
    expect(await textOf(loss)).toMatch(/^Warning.*Limit 10\s%.*Source: \S/s);
    expect(await loss.locator("svg").count()).toBe(1);
    const note = panel.getByText(/left-tail\.bright .* gets/);
    expect(await note.isVisible()).toBe(false);
    await panel.getByText(/\d+ notes/).click();
    expect(await note.isVisible()).toBe(true);
    expect(await accessibilityProblems(page)).toEqual([]);
    await page.setViewportSize({ width: 360, height: 740 });
    expect(await sidewaysOverflow(page)).toBe(0);
  });

  test("the cut list has wire by gauge and colour with its pieces, terminals and diodes", async () => {
    const { url } = await serveForTest({ benches: machineWithPorts() });
    const page = await openPage(url);
    await choosePlan(page, wagon);
    const list = page.getByRole("region", { name: "Cut list" });
    expect(await textOf(list.getByRole("row", { name: /AWG 14 ?yellow/ }))).toContain("5.61\u00a0m: trunk wire of LT");
    expect(await textOf(list.getByRole("row", { name: /6 A silicon rectifier/ }))).toMatch(/^8/);
  });

  test("on paper there is the plan alone, with the connector from both sides", async () => {
    const { url } = await serveForTest({ benches: machineWithPorts() });
    const page = await openPage(url);
    await choosePlan(page, wagon);
    await page.emulateMedia({ media: "print" });
    for (const wanted of ["Mating side", "Wiring side"])
      expect(await page.locator(".printed-plan figcaption", { hasText: wanted }).isVisible()).toBe(true);
    expect(await page.getByRole("button").count()).toBe(0);
    expect(await page.locator(".printed-plan .remark").count()).toBeGreaterThan(20);
    expect(await page.locator(".printed-plan .cuts").first().isVisible()).toBe(true);
  });
});
