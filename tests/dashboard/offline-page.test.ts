import { expect, test } from "vitest";
import { machineWithPorts } from "../server/bench-on-a-port.js";
import { serveForTest } from "../server/serve-for-test.js";
import { describePage, openPage } from "./browser-for-test.js";
import { accessibilityProblems, choosePlan, hatchback, sidewaysOverflow, textOf } from "./page-steps.js";

const benches = machineWithPorts();
const noServer = /ERR_CONNECTION_REFUSED|ERR_FAILED|WebSocket/;

describePage("the page without its server", () => {
  test("opens from what the browser keeps, says that it is not connected, shows nothing old, and comes back by itself", async () => {
    const served = await serveForTest({ benches });
    const page = await openPage(served.url, { serviceWorkers: "allow" }, noServer);
    await choosePlan(page, hatchback);
    await page.evaluate(async () => void (await navigator.serviceWorker.ready));
    await served.close();
    await page.getByText("Connection lost. What you see is old").waitFor();
    expect(await page.locator("main.stale").count()).toBe(1);
    expect(await textOf(page.locator(".action-bar"))).toContain("Not connected");

    await page.reload();
    await page.getByRole("heading", { name: "Not connected" }).waitFor();
    expect(await page.getByText(hatchback).count()).toBe(0);
    expect(await accessibilityProblems(page)).toEqual([]);
    await page.setViewportSize({ width: 360, height: 740 });
    expect(await sidewaysOverflow(page)).toBe(0);

    await serveForTest({ benches, port: Number(new URL(served.url).port) });
    // It tries by itself too, and may be back before the button is pressed, which is gone then.
    const pressed = page
      .getByRole("button", { name: "Try again now" })
      .click({ timeout: 10_000 })
      .catch(() => undefined);
    await page.getByText("Connected", { exact: true }).waitFor({ state: "attached" });
    await pressed;
    await page.getByRole("radio", { name: hatchback }).waitFor();
  });

  test("keeps nothing but its own files", async () => {
    const { url } = await serveForTest({ benches });
    const page = await openPage(url, { serviceWorkers: "allow" });
    await page.evaluate(async () => void (await navigator.serviceWorker.ready));
    await page.evaluate(() => fetch("/records/list").then((answer) => answer.text()));
    const kept = await page.evaluate(async () => {
      const cache = await caches.open("pinwalk-shell");
      return (await cache.keys()).map(({ url }) => new URL(url).pathname);
    });
    expect(kept).toContain("/");
    expect(kept.length).toBeGreaterThan(3);
    for (const path of kept) expect(path).toMatch(/^\/(|mark\.svg|assets\/[\w.-]+)$/);
  });
});
