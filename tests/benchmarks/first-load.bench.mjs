import { existsSync, mkdtempSync, rmSync } from "node:fs";
import { loadavg, tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { startServer } from "@pinwalk/host/server/start-server.js";
import { chromium } from "playwright-core";

export const title =
  "First load of the page with the processor slowed four times: until it shows, and until it answers";

const executablePath = process.env.CHROMIUM ?? "/usr/bin/chromium";
const args = ["--headless", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"];
const slowdown = 4;

/** In the page: when the list of benches is there, presses a link at once, and notes when the other page stands. */
function watchLoad() {
  const watched = { shownMs: 0, answeredMs: 0 };
  globalThis.watchedLoad = watched;
  new MutationObserver((_changes, observer) => {
    if (watched.shownMs === 0 && document.querySelector("main .choice input")) {
      watched.shownMs = performance.now();
      document.querySelector('nav a[href="#walk"]').click();
    } else if (watched.shownMs > 0 && document.querySelector("#no-walk")) {
      observer.disconnect();
      requestAnimationFrame(() => {
        watched.answeredMs = performance.now();
      });
    }
  }).observe(document, { childList: true, subtree: true });
}

async function loadOnce(browser, url, viewport) {
  const context = await browser.newContext({ viewport, serviceWorkers: "block" });
  const page = await context.newPage();
  const devtools = await context.newCDPSession(page);
  await devtools.send("Emulation.setCPUThrottlingRate", { rate: slowdown });
  await page.addInitScript(watchLoad);
  await page.goto(url, { waitUntil: "commit" });
  await page.waitForFunction(() => globalThis.watchedLoad.answeredMs > 0, undefined, { timeout: 60_000 });
  const seen = await page.evaluate(() => ({
    ...globalThis.watchedLoad,
    paintMs: performance.getEntriesByName("first-contentful-paint")[0]?.startTime ?? Number.NaN,
    scripts: performance.getEntriesByType("resource").filter(({ name }) => name.endsWith(".js")).length,
  }));
  await context.close();
  return seen;
}

const median = (values) => values.toSorted((one, other) => one - other)[Math.floor(values.length / 2)];

export async function run({ times = 7 } = {}) {
  const line = (name, value) => process.stdout.write(`${name.padEnd(34)}${value}\n`);
  if (!existsSync(executablePath)) return line("left out", "needs the Debian package chromium");
  const home = mkdtempSync(join(tmpdir(), "pinwalk-load-"));
  const server = await startServer({ port: 0, plansDir: join(home, "plans"), recordsPath: join(home, "store.sqlite") });
  const sandbox = process.getuid?.() === 0 ? ["--no-sandbox"] : [];
  const browser = await chromium.launch({ executablePath, args: [...args, ...sandbox] });
  line("load of the machine", loadavg()[0].toFixed(1));
  try {
    for (const [name, viewport] of [
      ["phone, 360 px", { width: 360, height: 740 }],
      ["desk, 1280 px", { width: 1280, height: 800 }],
    ]) {
      const loads = [];
      for (let time = 0; time < times; time += 1) loads.push(await loadOnce(browser, server.url, viewport));
      const of = (key) => `${Math.round(median(loads.map((load) => load[key])))} ms`;
      const worst = Math.round(Math.max(...loads.map(({ answeredMs }) => answeredMs)));
      line(
        name,
        `first paint ${of("paintMs")}, benches shown ${of("shownMs")}, answers a press ${of("answeredMs")} (worst of ${times}: ${worst} ms)`,
      );
    }
  } finally {
    await browser.close();
    await server.close();
    rmSync(home, { recursive: true, force: true });
  }
}

if (process.argv[1] === fileURLToPath(import.meta.url)) await run();
