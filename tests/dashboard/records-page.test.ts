import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { RecordStore } from "@pinwalk/host/records/store/record-store.js";
import type { Page } from "playwright-core";
import { expect, test } from "vitest";
import { makePng } from "../records/pictures.js";
import { scratchFolder, vehicleJob, version } from "../records/sample-job.js";
import { machineWithPorts } from "../server/bench-on-a-port.js";
import { serveForTest } from "../server/serve-for-test.js";
import { describePage, openPage } from "./browser-for-test.js";
import {
  accessibilityProblems,
  choosePlan,
  hatchback,
  putIn,
  sidewaysOverflow,
  textOf,
  walkToVerdict,
} from "./page-steps.js";

const benches = machineWithPorts();

async function keep(page: Page, fields: Record<string, string>): Promise<void> {
  for (const [label, text] of Object.entries(fields)) await page.getByLabel(label).fill(text);
  await page.getByRole("button", { name: "Keep record" }).click();
  await page.getByText("Kept and signed").waitFor();
}

async function expectSound(page: Page, state: string): Promise<void> {
  expect([state, ...(await accessibilityProblems(page))]).toEqual([state]);
  expect([state, (await sidewaysOverflow(page)) <= 0]).toEqual([state, true]);
}

describePage("records in the browser", () => {
  test("a walk is kept, found, opened, and its certificate comes as a PDF; axe objects to nothing on the way", async () => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url, { acceptDownloads: true });
    await page.getByRole("link", { name: "Records" }).click();
    await page.getByRole("heading", { name: "No records yet" }).waitFor();
    await expectSound(page, "no records");

    await page.getByRole("link", { name: "Set up", exact: true }).click();
    await choosePlan(page, hatchback);
    await walkToVerdict(page);
    await page.getByRole("heading", { name: "Keep a record" }).waitFor();
    await expectSound(page, "a walk to keep");
    await page
      .getByLabel(/^Photos/)
      .setInputFiles({ name: "bolt.png", mimeType: "image/png", buffer: makePng(40, 30) });
    await page.getByRole("button", { name: "Leave out bolt.png" }).waitFor();
    await keep(page, {
      "Vehicle number": "KX-4471-QB",
      "Tested by": "R. Calder",
      Customer: "Ann <b>Miller</b>",
      Notes: "Loom renewed.",
    });
    expect(await page.getByRole("button", { name: "Keep record" }).count()).toBe(0);

    await page.getByRole("link", { name: "Records" }).click();
    await page.getByLabel(/^Customer, vehicle/).fill("nobody at all");
    await page.getByRole("heading", { name: "No record fits" }).waitFor();
    await page.getByLabel(/^Customer, vehicle/).fill("miller kx4471");
    const row = page.getByRole("row", { name: /KX-4471-QB/ });
    await row.waitFor();
    expect(await textOf(row.locator(".record-customer"))).toBe("Ann <b>Miller</b>");
    expect(await textOf(row.locator(".record-verdict"))).toMatch(/^(Pass|Unsure)$/);
    await expectSound(page, "a list");

    await row.getByRole("link").click();
    await page.getByText("The signature holds", { exact: true }).waitFor();
    await expectSound(page, "a record");
    const photo = page.getByRole("img", { name: "Photo of the job" });
    await photo.scrollIntoViewIfNeeded();
    await expect.poll(() => photo.evaluate((image: HTMLImageElement) => image.naturalWidth)).toBe(40);
    const download = page.waitForEvent("download");
    await page.getByRole("link", { name: "Certificate (PDF)" }).click();
    const file = await readFile(await (await download).path());
    expect(file.toString("latin1", 0, 5)).toBe("%PDF-");

    await page.setViewportSize({ width: 360, height: 740 });
    await expectSound(page, "a record on a phone");
    await page.getByRole("link", { name: "All records" }).click();
    await row.waitFor();
    await expectSound(page, "a list on a phone");
    await page.getByRole("button", { name: "Check all records" }).click();
    await page.getByText("All hold: 1 record is as written.").waitFor();
    await expectSound(page, "verified");
  });

  test("records go out of one shop and into another, sought by days; a copy of everything is made", async () => {
    const recordsPath = join(scratchFolder(), "store.sqlite");
    const store = await RecordStore.openForWriting(recordsPath, { version });
    await store.keep({ job: vehicleJob });
    await store.close();
    const { url } = await serveForTest({ benches, recordsPath });
    const page = await openPage(url, { acceptDownloads: true }, /404/);
    await page.goto(`${url}/#records`);
    const row = page.getByRole("row", { name: /KX-4471-QB/ });
    await row.waitFor();
    await page.getByLabel("to, that day included").fill("2020-01-01");
    await page.getByRole("heading", { name: "No record fits" }).waitFor();
    await page.getByRole("button", { name: "Make an export" }).click();
    await page.getByText("No record fits, so there is nothing to export.").waitFor();
    await page.getByRole("button", { name: "Show all records" }).click();
    await row.waitFor();
    await page.getByRole("button", { name: "Make an export" }).click();
    await page.getByText("1 record and 0 photos, signed by this shop.").waitFor();
    await page.getByRole("button", { name: "Make a backup" }).click();
    await page.getByRole("link", { name: /^Save .*\.sqlite \(/ }).waitFor();
    await expectSound(page, "files to take");
    const saved = page.waitForEvent("download");
    await page.getByRole("link", { name: /^Save .*\.pinwalk-records/ }).click();
    const bundle = await readFile(await (await saved).path());

    const { url: other } = await serveForTest({ benches });
    const there = await openPage(other, {}, /422/);
    await there.goto(`${other}/#records`);
    const take = async (name: string, buffer: Buffer) =>
      await there
        .getByLabel("File ending in .pinwalk-records")
        .setInputFiles({ name, mimeType: "application/octet-stream", buffer });
    await take("torn.pinwalk-records", bundle.subarray(0, bundle.length - 40));
    await there.getByText(/Nothing was imported/).waitFor();
    await take("whole.pinwalk-records", bundle);
    await there.getByText("1 record taken in").waitFor();
    await there.getByRole("row", { name: /KX-4471-QB/ }).waitFor();
    await there.setViewportSize({ width: 360, height: 740 });
    await expectSound(there, "an import on a phone");
  });

  test("a re-test takes plan, vehicle and customer along, and what has changed since is named", async () => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url);
    await choosePlan(page, hatchback);
    await walkToVerdict(page);
    await keep(page, { "Vehicle number": "KX-4471-QB", "Tested by": "R. Calder", Customer: "Ann Miller" });
    await page.getByRole("link", { name: "Open the record" }).click();
    await page.getByRole("button", { name: "Test again with this plan" }).click();
    await page.getByRole("heading", { name: hatchback }).waitFor();
    await putIn(page, "Open circuit", "lamp left rear, bright");
    expect(await walkToVerdict(page)).toBe("Fail");
    expect(await page.getByLabel("Vehicle number").inputValue()).toBe("KX-4471-QB");
    expect(await page.getByLabel("Customer").inputValue()).toBe("Ann Miller");
    expect(await page.getByLabel("Tested by").inputValue()).toBe("R. Calder");
    await keep(page, {});

    await page.getByRole("link", { name: "Open the record" }).click();
    await page.getByRole("link", { name: "Compare 2 records over time" }).click();
    const left = page.getByRole("region", { name: "LT" });
    await left.getByText("Changed", { exact: true }).waitFor();
    await page.getByRole("region", { name: "TM" }).getByText("No change seen").waitFor();
    expect(await left.getByRole("img").getAttribute("aria-label")).toContain("current changed by");
    await expectSound(page, "two records compared");
    await page.setViewportSize({ width: 360, height: 740 });
    await expectSound(page, "two records compared on a phone");
  });

  test("the next walk asks anew which vehicle it was, and offers the last one", async () => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url);
    await choosePlan(page, hatchback);
    await walkToVerdict(page);
    await keep(page, { "Vehicle number": "KX-4471-QB", "Tested by": "R. Calder", Customer: "Ann Miller" });
    await page.getByRole("button", { name: "Walk again" }).click();
    await page.getByRole("button", { name: "The same as before: KX-4471-QB" }).waitFor();
    expect(await page.getByLabel("Vehicle number").inputValue()).toBe("");
    expect(await page.getByLabel("Customer").inputValue()).toBe("");
    expect(await page.getByLabel("Tested by").inputValue()).toBe("R. Calder");
    await page.getByRole("button", { name: "The same as before: KX-4471-QB" }).click();
    expect(await page.getByLabel("Vehicle number").inputValue()).toBe("KX-4471-QB");
    expect(await page.getByLabel("Customer").inputValue()).toBe("Ann Miller");
  });

  test("what the store refuses is said where it was asked, and what was typed stays", async () => {
    const { url } = await serveForTest({ benches, recordsPath: "/dev/null/records.sqlite" });
    const page = await openPage(url, {}, /status of 503/);
    await choosePlan(page, hatchback);
    await walkToVerdict(page);
    await page.getByLabel("Vehicle number").fill("KX-4471-QB");
    await page.getByRole("button", { name: "Keep record" }).click();
    // The browser itself asks for the name first.
    expect(await page.getByLabel("Tested by").evaluate((field: HTMLInputElement) => field.validity.valid)).toBe(false);
    await page.getByLabel("Tested by").fill("R. Calder");
    await page.getByRole("button", { name: "Keep record" }).click();
    await page.getByRole("alert").getByText("cannot be").waitFor();
    expect(await page.getByLabel("Vehicle number").inputValue()).toBe("KX-4471-QB");
  });
});
