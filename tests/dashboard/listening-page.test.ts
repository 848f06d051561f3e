import { openVirtualBench } from "@pinwalk/host/bench/virtual/virtual-bench.js";
import type { Page } from "playwright-core";
import { expect, test } from "vitest";
import { machineWithPorts } from "../server/bench-on-a-port.js";
import { serveForTest } from "../server/serve-for-test.js";
import { describePage, openPage } from "./browser-for-test.js";
import { accessibilityProblems, choosePlan, hatchback, sidewaysOverflow, textOf } from "./page-steps.js";

const machine = machineWithPorts();
const inRealTime: typeof machine = {
  ...machine,
  open: (_bench, vehicle) => openVirtualBench({ ...vehicle, pace: "real" }),
};

const bar = (page: Page, name: RegExp | string) => page.locator(".action-bar").getByRole("button", { name });
const simulated = (page: Page) => page.getByRole("region", { name: "Simulated vehicle: its own switches" });
const heard = (page: Page, words: RegExp) => page.getByRole("heading", { name: words });

/** A person's two hands: at once, however slow the machine is at finding its way on the page. */
function switchAndSay(page: Page, name: string): Promise<void> {
  return page.evaluate((wanted) => {
    const buttons = Array.from(document.querySelectorAll<HTMLButtonElement>(".switches button"));
    for (const button of buttons) if (button.textContent?.startsWith(wanted)) button.click();
  }, name);
}

async function expectSound(page: Page, state: string): Promise<void> {
  expect([state, ...(await accessibilityProblems(page))]).toEqual([state]);
  await expect.poll(() => sidewaysOverflow(page)).toBe(0);
}

describePage("finding wires in the browser", () => {
  test("a wire is told live in words, by what the person says, and stands on the sheet for every viewer", async () => {
    const { url } = await serveForTest({ benches: inRealTime });
    const page = await openPage(url);
    await page.goto(`${url}/#find-wires`);
    await page.getByText("Choose a plan first").first().waitFor();
    await expectSound(page, "no plan yet");
    await page.goto(`${url}/#set-up`);
    await choosePlan(page, hatchback);
    await page.getByRole("link", { name: "Find wires", exact: true }).click();
    await page.getByLabel("The probe lead sits on").selectOption("LT");
    await page.getByLabel("The wire, in your words").fill("hatch, <violet>");
    await page.getByLabel("The wire, in your words").blur();
    await expectSound(page, "to begin");
    await bar(page, "Start listening").click();
    await heard(page, /^Nothing: the wire carries no signal/).waitFor();
    const write = page.getByRole("button", { name: "Write it down" });
    const looksLikeTheNextStep = () => write.evaluate((one) => one.classList.contains("button-solid"));
    expect(await looksLikeTheNextStep()).toBe(false);

    const late = await openPage(url, { viewport: { width: 360, height: 740 }, colorScheme: "dark" });
    await late.goto(`${url}/#find-wires`);
    await simulated(page).getByLabel("The probe is on").selectOption({ label: "left rear, green with yellow" });
    await switchAndSay(page, "tail lamps");
    for (const one of [page, late]) {
      await heard(one, /pulse-width modulated \(200.Hz, on 2[234].% of the time\)/).waitFor();
      await one.getByText("a plain diode joint may upset it").waitFor();
    }
    expect(await looksLikeTheNextStep()).toBe(true);
    await expectSound(page, "pulses");
    await expectSound(late, "pulses, on a phone in the dark");
    for (const target of await late.locator("main button:visible, main select:visible").all()) {
      const box = await target.boundingBox();
      expect(box && Math.min(box.width, box.height)).toBeGreaterThanOrEqual(44);
    }
    await page.getByText("It carries tail lamps.").waitFor();
    await late.getByRole("button", { name: "Write it down" }).click();

    const sheet = page.getByRole("region", { name: "Wires found" });
    await sheet.getByRole("heading", { name: "hatch, <violet>: tail lamps" }).waitFor();
    await expectSound(page, "written down");
    await page.emulateMedia({ media: "print" });
    expect(await page.locator(".find-wires > :visible").count()).toBe(1);
    expect(await sheet.getByText("a plain diode joint may upset it").isVisible()).toBe(true);
    expect(await page.getByRole("button", { name: "Print" }).isVisible()).toBe(false);
    await page.emulateMedia({ media: "screen" });
    const download = page.waitForEvent("download");
    await sheet.getByRole("link", { name: "Download" }).click();
    expect((await download).suggestedFilename()).toBe("pinwalk-wires.json");
    await sheet.getByRole("button", { name: "Put it into the record's notes" }).click();
    await sheet.getByText("In the notes of the next record.").waitFor();
    await sheet.getByLabel(/^Into the plan/).selectOption({ label: "LT, left turn and stop, to left rear, bright" });
    await sheet.getByRole("button", { name: "Put it into a copy of the plan" }).click();
    const inPlan = page.getByRole("region", { name: "The vehicle's wires in this plan" });
    await inPlan.getByText(/^hatch, <violet>: .*pulse-width modulated/).waitFor();
    await expectSound(page, "in the plan");
    // Whoever splices works from the drawing, on paper too.
    await late.goto(`${url}/#set-up`);
    await late
      .locator(".wiring-words", { hasText: "vehicle's wire: hatch, <violet>: " })
      .waitFor({ state: "attached" });
    await late.emulateMedia({ media: "print" });
    await late.locator(".printed-plan .wiring", { hasText: "vehicle's wire: hatch" }).waitFor();
    await late.emulateMedia({ media: "screen" });
    await late.goto(`${url}/#find-wires`);
    await sheet.getByRole("button", { name: /^Take off the sheet/ }).click();
    await late.getByText("None yet.").waitFor();
  });

  test("the outlet of a tow vehicle is led through, and its poor contact is found, on a phone", async () => {
    const { url } = await serveForTest({ benches: machine });
    const page = await openPage(url, { viewport: { width: 360, height: 740 } });
    await choosePlan(page, hatchback);
    await page.goto(`${url}/#find-wires`);
    await page.getByRole("radio", { name: "Is the tow vehicle's outlet as it should be?" }).check();
    await page.getByLabel("Volts that a pin may lose").waitFor();
    await bar(page, "Start listening").click();
    await page.getByRole("heading", { name: "Switch every function on" }).waitFor();
    for (const name of ["tail lamps", "brake pedal"]) {
      await simulated(page).getByRole("button", { name }).click();
      await expect.poll(() => simulated(page).getByRole("button", { name, pressed: true }).count()).toBe(1);
    }
    await simulated(page).getByLabel("Poor contact in the outlet").selectOption({ label: "Pin RT" });
    await expectSound(page, "asked");
    await page.getByRole("button", { name: "It is so: listen" }).click();
    await page.getByRole("heading", { name: "Put the far loads on" }).waitFor();
    await simulated(page).getByLabel("Far loads plugged in").check();
    await page.getByRole("button", { name: "It is so: listen" }).click();
    const result = page.getByRole("status", { name: "Result of listening" });
    await result.waitFor();
    expect(await textOf(result.getByRole("heading"))).toBe("Fail");
    await page.getByText(/RT: 12\.\d\d V, 11\.\d\d V under its load \(6\.\d Ω\), more than 0\.5 V apart/).waitFor();
    expect(await page.getByRole("img", { name: /^Voltage of LT over three seconds, with the far load/ }).count()).toBe(
      1,
    );
    await expectSound(page, "compared");
    await bar(page, "Listen again").click();
    await page.getByRole("heading", { name: "Switch every function on" }).waitFor();
    await page.keyboard.press("Escape");
    await page.getByText("stopped by hand").waitFor();
  });
});
