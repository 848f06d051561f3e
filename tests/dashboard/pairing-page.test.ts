import { copyFile, mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { inflateSync } from "node:zlib";
import jsQR from "jsqr";
import type { Page } from "playwright-core";
import { expect, onTestFinished, test } from "vitest";
import { machineWithPorts } from "../server/bench-on-a-port.js";
import { describeLan, serveOnLan } from "../server/lan-for-test.js";
import { slowBenches } from "../server/slow-benches.js";
import { describePage, openPage } from "./browser-for-test.js";
import { accessibilityProblems, choosePlan, goToPage, hatchback, sidewaysOverflow } from "./page-steps.js";

const phoneSize = { viewport: { width: 360, height: 740 }, hasTouch: true };
/** What a browser says of a request that the server refuses. */
const refusedRequests = /40[13]|ERR_CONNECTION_REFUSED|WebSocket/;

async function expectSound(page: Page, state: string): Promise<void> {
  expect([state, ...(await accessibilityProblems(page))]).toEqual([state]);
  expect([state, await sidewaysOverflow(page)]).toEqual([state, 0]);
}

/** The pixels of a screenshot: eight bits a channel, not interlaced, as chromium writes them (PNG, ISO/IEC 15948). */
function pixelsOf(png: Buffer): { data: Uint8ClampedArray; width: number; height: number } {
  const width = png.readUInt32BE(16);
  const height = png.readUInt32BE(20);
  const channels = png[25] === 6 ? 4 : 3;
  const parts: Buffer[] = [];
  for (let at = 8; at < png.length; at += png.readUInt32BE(at) + 12)
    if (png.toString("latin1", at + 4, at + 8) === "IDAT")
      parts.push(png.subarray(at + 8, at + 8 + png.readUInt32BE(at)));
  const raw = inflateSync(Buffer.concat(parts));
  const rowBytes = width * channels;
  const rows = Buffer.alloc(height * rowBytes);
  const data = new Uint8ClampedArray(width * height * 4).fill(255);
  for (let y = 0; y < height; y += 1) {
    const filter = raw[y * (rowBytes + 1)] ?? 0;
    for (let x = 0; x < rowBytes; x += 1) {
      const left = x < channels ? 0 : (rows[y * rowBytes + x - channels] ?? 0);
      const up = y === 0 ? 0 : (rows[(y - 1) * rowBytes + x] ?? 0);
      const corner = y === 0 || x < channels ? 0 : (rows[(y - 1) * rowBytes + x - channels] ?? 0);
      const guess = [0, left, up, (left + up) >> 1, paeth(left, up, corner)][filter] ?? 0;
      rows[y * rowBytes + x] = ((raw[y * (rowBytes + 1) + 1 + x] ?? 0) + guess) & 255;
    }
    for (let x = 0; x < width; x += 1)
      for (let channel = 0; channel < 3; channel += 1)
        data[(y * width + x) * 4 + channel] = rows[y * rowBytes + x * channels + channel] ?? 0;
  }
  return { data, width, height };
}

function paeth(left: number, up: number, corner: number): number {
  const guess = left + up - corner;
  const [a, b, c] = [Math.abs(guess - left), Math.abs(guess - up), Math.abs(guess - corner)];
  return a <= b && a <= c ? left : b <= c ? up : corner;
}

/** What a phone's camera reads from the computer's screen. */
async function scan(computer: Page): Promise<string> {
  const { data, width, height } = pixelsOf(await computer.getByRole("img", { name: /^QR code/ }).screenshot());
  return jsQR.default(data, width, height)?.data ?? "";
}

async function makeCode(computer: Page, role: "May control" | "May watch", handOver = true): Promise<void> {
  await goToPage(computer, "People");
  await computer.getByRole("radio", { name: role }).check();
  if (role === "May control") await computer.getByLabel(/^Hand control over/).setChecked(handOver);
  await computer.getByRole("button", { name: "Make a code" }).click();
  await computer.getByRole("img", { name: /^QR code/ }).waitFor();
}

describePage("phones in the browser", () => {
  describeLan("paired over the network", () => {
    test("a phone scans the code, is in, controls, hands it back, asks for it again, and leaves", async () => {
      const served = await serveOnLan({ benches: machineWithPorts() });
      const computer = await openPage(served.url, {}, refusedRequests);
      await goToPage(computer, "People");
      await expectSound(computer, "nobody else here");
      await makeCode(computer, "May control");
      await expectSound(computer, "a code is open");
      const link = await scan(computer);
      expect(link).toMatch(/^http:\/\/[\d.]+:\d+\/pair\/#\d{8}$/);

      const phone = await openPage(link, phoneSize, refusedRequests);
      expect(phone.url()).toBe(`${served.lan}/`);
      await phone.goBack().catch(() => undefined);
      expect(phone.url()).not.toContain(link.split("#")[1]);
      await phone.goto(`${served.lan}/#set-up`);
      await choosePlan(phone, hatchback);
      await expectSound(phone, "a phone in control");
      await computer.getByText("Phone controls now.").first().waitFor();
      await expectSound(computer, "the computer without control");
      await goToPage(computer, "Set up");
      expect(await computer.getByRole("radio", { name: hatchback }).isDisabled()).toBe(true);
      expect(await computer.getByRole("button", { name: "Start walk" }).isDisabled()).toBe(true);

      await computer.getByRole("button", { name: "Take control" }).click();
      await phone.getByText("The computer at the bench controls now.").first().waitFor();
      await phone.getByRole("button", { name: "Ask for control" }).click();
      await computer.getByText("Phone asks for control.").waitFor();
      await expectSound(computer, "asked for control");
      await expectSound(phone, "a phone that has asked");
      await computer.getByRole("button", { name: "Hand it over" }).click();
      await computer.getByText("Phone controls now.").first().waitFor();

      await goToPage(phone, "People");
      await expectSound(phone, "people on a phone");
      await phone.getByRole("button", { name: "Leave, and forget this phone" }).click();
      await phone.getByRole("heading", { name: "Pair this browser" }).waitFor();
      await computer.getByText("Phone controls now.").first().waitFor({ state: "detached" });
    });

    test("a watcher sees everything, can stop it and nothing else, and is told when it is sent away", async () => {
      const plansDir = await mkdtemp(join(tmpdir(), "pinwalk-plans-"));
      onTestFinished(() => rm(plansDir, { recursive: true, force: true }));
      const sample = new URL("../../fixtures/plans/umbilical-blade-7-to-round-6.json", import.meta.url);
      await copyFile(sample, join(plansDir, "own.json"));
      const served = await serveOnLan({ benches: slowBenches(), plansDir });
      const computer = await openPage(served.url, {}, refusedRequests);
      await choosePlan(computer, hatchback);
      await makeCode(computer, "May watch");
      const phone = await openPage(await scan(computer), phoneSize, refusedRequests);
      await phone.getByText("You watch here").first().waitFor();
      for (const control of await phone.locator("main .choice-list input").all())
        expect(await control.isDisabled()).toBe(true);
      await expectSound(phone, "a watcher");
      await phone.goto(`${served.lan}/bay/2/#walk`);
      await phone.getByRole("heading", { name: "There is no bay 2" }).waitFor();
      await expectSound(phone, "a bay that there is not");
      await phone.getByRole("link", { name: /^Go to bay 1/ }).click();
      await phone.waitForURL(`${served.lan}/#walk`);
      await phone.goto(`${served.lan}/#plan/draft/${encodeURIComponent("own:own.json")}`);
      await phone.getByText("You watch here: this plan can be read, not changed.").waitFor();
      expect(await phone.getByLabel("Name of the plan").isDisabled()).toBe(true);
      await expectSound(phone, "a watcher reads a plan");
      await phone.goto(`${served.lan}/#set-up`);
      await computer.getByRole("button", { name: "Start walk" }).click();
      await phone.getByRole("button", { name: /^Stop/ }).click();
      await computer
        .getByText(/Stopped|stopped by hand/)
        .first()
        .waitFor();

      await goToPage(computer, "People");
      await computer.getByRole("button", { name: /^Send away/ }).click();
      await phone.getByText("not paired any more").waitFor();
      await expectSound(phone, "sent away");
      await phone.getByRole("link", { name: "Pair it anew" }).click();
      await phone.getByRole("heading", { name: "Pair this browser" }).waitFor();
      await expectSound(phone, "a stranger's page");
      await phone.getByLabel("Code, eight digits").fill("1234 5678");
      await phone.getByRole("button", { name: "Pair" }).click();
      await phone.getByText(/^That code has been used/).waitFor();
      await expectSound(phone, "a wrong code");
    });
  });
});
