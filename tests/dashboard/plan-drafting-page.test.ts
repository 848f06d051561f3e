import { readFile } from "node:fs/promises";
import type { Page } from "playwright-core";
import { expect, test } from "vitest";
import { machineWithPorts } from "../server/bench-on-a-port.js";
import { serveForTest } from "../server/serve-for-test.js";
import { describePage, openPage } from "./browser-for-test.js";
import { accessibilityProblems, hatchback, sidewaysOverflow, textOf, walkToVerdict } from "./page-steps.js";

const benches = machineWithPorts();
const phone = { width: 360, height: 740 };

async function openPlans(page: Page): Promise<void> {
  await page.goto(`${new URL(page.url()).origin}/#plan`);
  await page.getByRole("heading", { name: "Make a plan" }).waitFor();
}

async function begin(page: Page, template: RegExp, name: string): Promise<void> {
  await openPlans(page);
  await page.getByRole("radio", { name: template }).check();
  await page.getByLabel("Name, for instance customer and vehicle").fill(name);
  await page.getByRole("button", { name: "Begin this plan" }).click();
  await page.getByRole("heading", { name, exact: true }).waitFor();
}

const inOrder = (page: Page) => page.getByText("In order, not saved yet.").waitFor();

async function save(page: Page): Promise<void> {
  await inOrder(page);
  await page.getByRole("button", { name: "Save", exact: true }).click();
  await page.getByRole("status").getByText("Saved.").waitFor();
}

const bar = (page: Page) => page.locator(".draft-bar");
const circuit = (page: Page, pin: string) => page.getByRole("group", { name: new RegExp(`^${pin} `) });

async function expectedAmps(page: Page): Promise<Record<string, string>> {
  const rows = await page.locator(".draft-results table.loads").first().locator("tbody tr").all();
  const read = rows.map(async (row) => [
    await textOf(row.locator("th")),
    await textOf(row.locator("td.number").first()),
  ]);
  return Object.fromEntries(await Promise.all(read));
}

describePage("plan work in the browser", () => {
  test("from a template a plan is made, saved, put on the bench and walked", async () => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url);
    await begin(page, /^Combined/, "Lamps of bay 4");
    await page.locator(".action-bar").getByText("Save this plan, then use it.").waitFor();
    await save(page);
    await page.locator(".action-bar").getByText("Now press “Use this plan”.").waitFor();
    await page.getByRole("button", { name: "Use this plan" }).click();
    await page.getByRole("radio", { name: "Lamps of bay 4" }).waitFor();
    // Only eyes can tell left from right.
    expect(await walkToVerdict(page)).toBe("Unsure");
  });

  test("a broken edit is explained beside its field; undo mends it; a reload keeps it; axe has no word against it", async () => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url);
    await begin(page, /^Combined/, "Bay 7");
    await inOrder(page);
    const whole = await expectedAmps(page);
    expect(Object.keys(whole)).toEqual(["TM", "LT", "RT"]);

    const metres = circuit(page, "LT").getByLabel("Trunk wire: length, m");
    await metres.fill("five");
    await bar(page).getByText("1 point is open.").waitFor();
    expect(await metres.getAttribute("aria-invalid")).toBe("true");
    expect(await textOf(page.locator(`[id="${await metres.getAttribute("aria-describedby")}"]`))).toBe(
      "Has to be a number.",
    );
    expect(await page.getByRole("button", { name: "Save", exact: true }).isDisabled()).toBe(true);
    await expect.poll(async () => Object.keys(await expectedAmps(page))).toEqual(["TM", "RT"]);
    expect(await accessibilityProblems(page)).toEqual([]);
    await page.setViewportSize(phone);
    expect(await accessibilityProblems(page)).toEqual([]);
    expect(await sidewaysOverflow(page)).toBe(0);

    await page.reload();
    await bar(page).getByText("1 point is open.").waitFor();
    expect(await metres.inputValue()).toBe("five");
    await bar(page).getByRole("button", { name: "Show the first" }).click();
    expect(await metres.evaluate((field) => field === document.activeElement)).toBe(true);
    await metres.fill("30,5");
    await inOrder(page);
    const long = await expectedAmps(page);
    expect(long.TM).toBe(whole.TM);
    expect(Number.parseFloat(long.LT ?? "")).toBeLessThan(Number.parseFloat(whole.LT ?? ""));
    await page.setViewportSize({ width: 1280, height: 800 });
    expect(
      await page.getByRole("region", { name: "Before anything is cut" }).getByText("Warning").count(),
    ).toBeGreaterThan(0);

    await page.getByRole("button", { name: "Undo" }).click();
    expect(await metres.inputValue()).toBe("five");
    await page.getByRole("button", { name: "Redo" }).click();
    expect(await metres.inputValue()).toBe("30.5");
    await save(page);
    await page.goto(`${url}/#plan`);
    expect(await page.getByText("Not saved yet").count()).toBe(0);
    expect(await page.getByRole("link", { name: "Edit Bay 7" }).isVisible()).toBe(true);
  });

  test("a vehicle from nothing shows its connector at once and its currents as soon as a circuit feeds a lamp", async () => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url);
    await begin(page, /^Vehicle, from nothing/, "Own work");
    await page.getByLabel("Connector", { exact: true }).selectOption({ label: "Six-way round" });
    await page.locator(".draft-results .face-pin").first().waitFor();
    await page.getByText("Expected currents appear as soon as a circuit feeds a lamp.").waitFor();
    await page.getByRole("button", { name: "Add a lamp housing" }).click();
    // The keyboard is in the new housing's first field a frame later.
    await page.locator("input:focus").waitFor();
    await page.keyboard.type("left rear");
    await page.getByLabel("Bulb", { exact: true }).selectOption("1157");
    await page.getByRole("button", { name: "Add a circuit" }).click();
    await circuit(page, "TM")
      .getByRole("button", { name: /^Add a lamp/ })
      .click();
    await circuit(page, "TM").getByLabel("Lamp 1", { exact: true }).selectOption({ label: "left rear, dim" });
    await inOrder(page);
    // What is typed is weighed a moment later.
    await expect.poll(async () => Object.keys(await expectedAmps(page))).toEqual(["TM"]);
    await page
      .getByRole("img", { name: /^Wiring from the Six-way round: 1 circuit to 1 lamp/ })
      .first()
      .waitFor();
  });

  test("a file is taken in with what is wrong in it, and goes out as it stands; samples are only copied; deleting can be undone", async () => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url);
    await openPlans(page);
    const text = await readFile(
      new URL("../../fixtures/plans/umbilical-blade-7-to-round-6.json", import.meta.url),
      "utf8",
    );
    const take = (name: string, content: string) =>
      page
        .getByLabel("Plan file to import")
        .setInputFiles({ name, mimeType: "application/json", buffer: Buffer.from(content) });
    await take("list.json", "shopping");
    await page.getByRole("alert").getByText("list.json is not JSON, so it is no plan.").waitFor();
    await take(
      "cable.json",
      text.replace('"far": "RT"', '"far": "LT"').replace('"farLoadOhms"', '"price": 3, "farLoadOhms"'),
    );
    const open = page.getByRole("region", { name: "Still open" });
    await open.getByText("conductor RT, far: far pin LT is named twice").waitFor();
    await open.getByText('price: unknown key "price"').waitFor();
    await open.getByRole("button", { name: /conductor RT/ }).click();
    await page.keyboard.press("R");
    await open.getByRole("button", { name: /price/ }).waitFor();
    await page.getByRole("button", { name: "Take it out" }).click();
    await inOrder(page);
    const [download] = await Promise.all([
      page.waitForEvent("download"),
      page.getByRole("button", { name: "Export" }).click(),
    ]);
    expect(download.suggestedFilename()).toBe("coiled-umbilical-blade-to-round.json");
    expect(JSON.parse(await readFile(await download.path(), "utf8"))).toEqual(JSON.parse(text));

    await openPlans(page);
    expect(await page.getByRole("link", { name: `Edit ${hatchback}` }).count()).toBe(0);
    await page.getByRole("button", { name: "Copy Alder Creek" }).click();
    await save(page);
    await openPlans(page);
    await page.getByRole("button", { name: `Delete ${hatchback}, copy` }).click();
    await page.getByText(`${hatchback}, copy is deleted.`).waitFor();
    await page.getByRole("button", { name: "Undo" }).click();
    await page.getByRole("link", { name: `Edit ${hatchback}, copy` }).waitFor();
    expect(await accessibilityProblems(page)).toEqual([]);
    await page.setViewportSize(phone);
    expect([await accessibilityProblems(page), await sidewaysOverflow(page)]).toEqual([[], 0]);
  });

  test("both sides of the connector stand side by side on a desk, one at a time and named on a phone, the one a mirror of the other", async () => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url, { viewport: { width: 1600, height: 900 }, colorScheme: "dark" });
    await begin(page, /^LED lamps/, "Mirror");
    await inOrder(page);
    const places = (side: string) =>
      page
        .locator(`.draft-results .sides .side-figure-${side} .face-pin`)
        .evaluateAll((pins) =>
          pins.map(
            (pin) =>
              [
                pin.textContent,
                ...((pin.getAttribute("transform") ?? "").match(/-?[\d.]+/g) ?? []).map(Number),
              ] as const,
          ),
        );
    const mating = await places("mating");
    expect(mating).toHaveLength(7);
    expect(await places("wiring")).toEqual(mating.map(([pin, x = 0, y]) => [pin, 0 - x, y]));
    const figure = (side: string) => page.locator(`.draft-results .sides .side-figure-${side}`);
    expect([await figure("mating").isVisible(), await figure("wiring").isVisible()]).toEqual([true, true]);
    const brown = page.getByRole("table", { name: /^Pins of/ }).getByRole("row", { name: /^TM/ });
    expect(await textOf(brown)).toMatch(/brown.*green by the motorhome/s);
    await page.getByLabel("Wire colours by").selectOption({ label: "the motorhome industry's colours" });
    await circuit(page, "TM").getByText("green", { exact: true }).first().waitFor();
    expect(await accessibilityProblems(page)).toEqual([]);

    await page.setViewportSize(phone);
    expect([await figure("mating").isVisible(), await figure("wiring").isVisible()]).toEqual([true, false]);
    await page.locator(".draft-results").getByRole("radio", { name: "Wiring side" }).check();
    expect([await figure("mating").isVisible(), await figure("wiring").isVisible()]).toEqual([false, true]);
    await page.emulateMedia({ media: "print" });
    expect(await page.locator(".printed-plan .wiring").isVisible()).toBe(true);
    expect(await page.getByRole("button").count()).toBe(0);
  });
});
