import { readFile } from "node:fs/promises";
import { expect, test } from "vitest";
import { benchOnAPort, machineWithPorts } from "../server/bench-on-a-port.js";
import { serveForTest } from "../server/serve-for-test.js";
import { describePage, openPage } from "./browser-for-test.js";
import { choosePlan, goToPage, hatchback, sidewaysOverflow, textOf } from "./page-steps.js";

const planText = await readFile(new URL("../../fixtures/plans/hatchback-round-6.json", import.meta.url), "utf8");
const benches = machineWithPorts();

describePage("setting up in the browser", () => {
  test("a real bench cannot be started before every check is ticked; the bar says what is missing", async () => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url);
    await choosePlan(page, hatchback);
    expect(await page.getByText("Not needed on the virtual bench.").isVisible()).toBe(true);

    await page.getByRole("radio", { name: benchOnAPort.name }).check();
    const start = page.getByRole("button", { name: "Start walk" });
    await page.getByText(/^Tick \d checks under/).waitFor();
    expect(await start.isDisabled()).toBe(true);
    const checks = page.getByRole("region", { name: /Before power goes on/ }).getByRole("checkbox");
    for (const check of await checks.all()) await check.check();
    await page.locator(".action-bar").getByText("Ready").waitFor();
    expect(await start.isEnabled()).toBe(true);
  });

  test("a port that is no bench stands there with its reason and cannot be chosen", async () => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url);
    const stranger = page.getByRole("radio", { name: "/dev/ttyACM3" });
    await stranger.waitFor();
    expect(await stranger.isDisabled()).toBe(true);
    expect(await page.getByText("What answers at /dev/ttyACM3 is not a bench.").isVisible()).toBe(true);
  });

  test("a plan file that cannot be used is explained by place and problem; a good one is chosen", async () => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url);
    const open = (text: string) =>
      page
        .getByLabel("Plan file")
        .setInputFiles({ name: "mine.json", mimeType: "application/json", buffer: Buffer.from(text) });
    await open(planText.replace('"pin": "RT"', '"pin": "LT"'));
    const refusal = page.getByRole("alert");
    await refusal.getByText("circuits[1].pin").waitFor();
    expect(await textOf(refusal)).toContain("mine.json is not a plan that can be used");

    await open(planText.replace(hatchback, "Bay 2"));
    await page.getByRole("heading", { name: "Bay 2" }).waitFor();
    expect(await refusal.count()).toBe(0);
  });

  test("the wiring side is the mating side in a mirror, and each is named", async () => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url);
    await choosePlan(page, hatchback);
    const places = async () => {
      const pins = await page
        .locator(".connector-faces .face-pin")
        .evaluateAll((all) =>
          all.map((one) => [
            one.querySelector("text")?.textContent ?? "",
            ...((one.getAttribute("transform") ?? "").match(/-?[\d.]+/g) ?? []).map(Number),
          ]),
        );
      return pins as [string, number, number][];
    };
    const mating = await places();
    await page.getByRole("radio", { name: "Wiring side" }).check();
    await page.getByText("Mirror image: you look at the back").waitFor();
    expect(await places()).toEqual(mating.map(([pin, x, y]) => [pin, 0 - x, y]));
  });

  test("every pin of the face stands in the key with its letter, use and colour by name", async () => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url);
    await choosePlan(page, hatchback);
    const key = await page.locator(".pin-key li").allInnerTexts();
    expect(key.map((row) => row.split("\n").map((part) => part.trim()))).toEqual(
      expect.arrayContaining([
        ["LT", "left turn and stop", "yellow"],
        ["GD", "ground", "white", "return"],
      ]),
    );
    expect(key).toHaveLength(await page.locator(".connector-faces .face-pin").count());
  });

  test.each([360, 800, 1600])("nothing hangs over the side at %i px", async (width) => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url, { viewport: { width, height: 800 } });
    expect(await sidewaysOverflow(page)).toBe(0);
    for (const name of [hatchback, "Coiled umbilical, blade to round"]) {
      await choosePlan(page, name);
      expect(await sidewaysOverflow(page)).toBe(0);
    }
    await goToPage(page, "Walk");
    await page.locator("table.circuits").waitFor();
    expect(await sidewaysOverflow(page)).toBe(0);
  });
});
