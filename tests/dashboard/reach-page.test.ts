import { expect, test } from "vitest";
import { benchOnAPort, machineWithPorts } from "../server/bench-on-a-port.js";
import { serveForTest } from "../server/serve-for-test.js";
import { slowBenches } from "../server/slow-benches.js";
import { describePage, openPage } from "./browser-for-test.js";
import { accessibilityProblems, choosePlan, goToPage, hatchback, putIn, textOf, walkToVerdict } from "./page-steps.js";

const benches = machineWithPorts();
describePage("reaching everything in the browser", () => {
  test("axe finds nothing to object to in any state of a walk", async () => {
    const served = await serveForTest({ benches: slowBenches() });
    const page = await openPage(served.url);
    const expectSound = async (state: string) =>
      expect([state, ...(await accessibilityProblems(page))]).toEqual([state]);

    await expectSound("nothing chosen");
    await goToPage(page, "Walk");
    await expectSound("no walk yet");
    await goToPage(page, "Set up");
    await choosePlan(page, hatchback);
    await putIn(page, "Poor connection", "bond of the ground wire to the chassis");
    await expectSound("set up with a fault");
    await page.getByRole("button", { name: "Start walk" }).click();
    await page.getByText("Power on").waitFor();
    await expectSound("driving");
    await page.getByRole("status", { name: "Verdict" }).waitFor();
    await expectSound("judged");
    await goToPage(page, "Set up");
    await page.getByRole("radio", { name: benchOnAPort.name }).check();
    await page.getByText(/^Tick \d checks/).waitFor();
    await expectSound("real bench");
    await page.setViewportSize({ width: 360, height: 740 });
    await expectSound("on a phone");
    await served.close();
    await page.getByText("Connection lost.").waitFor();
    await expectSound("connection lost");
  });

  test("a whole walk can be done with the keyboard alone, and the focus can be seen", async () => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url);
    const reach = async (name: RegExp) => {
      for (let presses = 0; presses < 60; presses += 1) {
        await page.keyboard.press("Tab");
        const here = await page.evaluate(() => {
          const one = document.activeElement;
          if (!(one instanceof HTMLElement) || one === document.body) return { name: "", seen: true };
          const label = one instanceof HTMLInputElement ? one.labels?.[0]?.textContent : one.textContent;
          return { name: label ?? "", seen: getComputedStyle(one).outlineStyle === "solid" };
        });
        expect(here).toEqual({ name: here.name, seen: true });
        if (name.test(here.name)) return;
      }
      throw new Error(`the keyboard does not reach ${name}`);
    };
    await reach(/Virtual bench/);
    await reach(/hatchback|estate/i);
    await page.keyboard.press("Space");
    await reach(/Start walk/);
    await page.keyboard.press("Enter");
    await page.getByRole("status", { name: "Verdict" }).waitFor();
  });

  test("Escape stops a walk from anywhere, and the page says that all outputs are off", async () => {
    const { url } = await serveForTest({ benches: slowBenches() });
    const page = await openPage(url);
    await choosePlan(page, hatchback);
    await page.getByRole("button", { name: "Start walk" }).click();
    await page.getByText("Power on").waitFor();
    await page.keyboard.press("Escape");
    const verdict = page.getByRole("status", { name: "Verdict" });
    await verdict.waitFor();
    expect(await textOf(verdict)).toContain("Stopped");
    expect(await textOf(verdict)).toContain("All outputs are off.");
  });

  test("the stop button is on the screen on every page while a walk goes on, even on a phone", async () => {
    const { url } = await serveForTest({ benches: slowBenches() });
    const page = await openPage(url, { viewport: { width: 360, height: 640 } });
    await choosePlan(page, hatchback);
    await page.getByRole("button", { name: "Start walk" }).click();
    const stop = page.getByRole("button", { name: /^Stop/ });
    await stop.waitFor();
    await goToPage(page, "Set up");
    await page.evaluate(() => scrollTo(0, document.documentElement.scrollHeight));
    const box = await stop.boundingBox();
    expect(box && box.y >= 0 && box.y + box.height <= 640 && box.height >= 44).toBe(true);
    await stop.click();
    await page.getByRole("button", { name: "Walk again" }).waitFor();
  });

  test("when the server is gone the page says so; when it is back the page goes on by itself", async () => {
    const served = await serveForTest({ benches });
    const page = await openPage(served.url);
    await served.close();
    await page.getByText("Connection lost.").waitFor();
    expect(await page.getByRole("button", { name: "Start walk" }).isDisabled()).toBe(true);
    await serveForTest({ benches, port: Number(new URL(served.url).port) });
    await page.getByText("Connected", { exact: true }).waitFor();
    expect(await page.getByText("Connection lost.").count()).toBe(0);
  });

  test("light and dark follow the system until one is chosen, and the choice is kept", async () => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url, { colorScheme: "dark" });
    const ground = () => page.evaluate(() => getComputedStyle(document.body).backgroundColor);
    const dark = await ground();
    await page.getByLabel("Light or dark").selectOption({ label: "Light" });
    const light = await ground();
    expect(light).not.toBe(dark);
    await page.reload();
    await page.getByRole("heading", { name: /Bench/ }).waitFor();
    expect(await ground()).toBe(light);
  });

  test("a walk of a vehicle without a fault costs no second verdict on colour alone", async () => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url);
    await choosePlan(page, hatchback);
    await walkToVerdict(page);
    const cells = await page
      .locator(".circuit-verdict")
      .evaluateAll((all) =>
        all.map((cell) => ({ icon: cell.querySelector("svg") !== null, word: cell.textContent?.trim() !== "" })),
      );
    expect(cells).toEqual(Array(3).fill({ icon: true, word: true }));
  });
});
