import { existsSync, mkdtempSync, rmSync } from "node:fs";
import { loadavg, tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { startServer } from "@pinwalk/host/server/start-server.js";
import { chromium } from "playwright-core";
import { io } from "socket.io-client";
import { FedBenchPort } from "./fed-bench-port.mjs";

export const title = "A flex watch on the page: frames per second and memory while 500 windows a second arrive";

const executablePath = process.env.CHROMIUM ?? "/usr/bin/chromium";
const args = ["--headless", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"];
const heapEverySeconds = 20;
const gapEverySeconds = 3;
const longFrameMs = 34;

/** A second viewer without a page: counts what is sent, and moves the simulated cable. */
async function follower(url) {
  const socket = io(url, { transports: ["websocket"], extraHeaders: { origin: url } });
  const seen = { windows: 0, batches: 0, bytes: 0, gaps: 0, from: 0, view: undefined };
  socket.on("strip", (batch) => {
    seen.from ||= performance.now();
    seen.batches += 1;
    seen.bytes += JSON.stringify(batch).length;
    for (const { fine, gaps } of Object.values(batch.pins)) {
      seen.gaps += gaps.length;
      for (const piece of fine) seen.windows += piece.least.length;
    }
  });
  socket.on("changed", ({ flexWatch }) => {
    if (flexWatch) seen.view = flexWatch;
  });
  const state = await new Promise((resolve) => socket.once("snapshot", resolve));
  const ask = (name, payload) =>
    new Promise((resolve, reject) =>
      socket.emit(name, payload, (answer) => (answer.ok ? resolve() : reject(new Error(`${name}: ${answer.message}`)))),
    );
  return { socket, seen, state, ask };
}

/** Lengths of all frames since the last call, measured where the page draws. */
const takeFrames = (page) => page.evaluate(() => globalThis.frameLengths.splice(0));

function countFrames() {
  globalThis.frameLengths = [];
  let before = performance.now();
  const step = (now) => {
    globalThis.frameLengths.push(now - before);
    before = now;
    requestAnimationFrame(step);
  };
  requestAnimationFrame(step);
}

async function heapBytes(devtools) {
  await devtools.send("HeapProfiler.collectGarbage");
  const { metrics } = await devtools.send("Performance.getMetrics");
  return metrics.find(({ name }) => name === "JSHeapUsedSize").value;
}

/** The one bench that there is, fed or emulated in real time. */
async function benchOf(emulated) {
  const { machineBenches } = await import("@pinwalk/host/server/bench-source.js");
  const { SerialLog } = await import("@pinwalk/host/bench/serial-log.js");
  const machine = machineBenches("real", new SerialLog());
  const fed = new FedBenchPort(gapEverySeconds * 1000);
  return { fed, benches: emulated ? machine : { ...machine, search: async () => [], open: async () => fed } };
}

/** `minutes` of real time, with an interruption every few seconds. `emulated`: through the virtual bench, which needs a core for itself. */
export async function run({ minutes = 2, emulated = false } = {}) {
  const line = (name, value) => process.stdout.write(`${name.padEnd(34)}${value}\n`);
  if (!existsSync(executablePath)) return line("left out", "needs the Debian package chromium");
  const home = mkdtempSync(join(tmpdir(), "pinwalk-stream-"));
  const { fed, benches } = await benchOf(emulated);
  const paths = { plansDir: join(home, "plans"), recordsPath: join(home, "store.sqlite") };
  const server = await startServer({ port: 0, benches, ...paths });
  const sandbox = process.getuid?.() === 0 ? ["--no-sandbox"] : [];
  const browser = await chromium.launch({ executablePath, args: [...args, ...sandbox] });
  try {
    // A conductor is watched for ten minutes at the most; the last seconds are for reading what the page has counted.
    await measure({ server, browser, seconds: Math.min(minutes * 60, 590), line, fed: emulated ? undefined : fed });
  } finally {
    await browser.close();
    await server.close();
    rmSync(home, { recursive: true, force: true });
  }
}

async function measure({ server, browser, seconds, line, fed }) {
  const { socket, seen, state, ask } = await follower(server.url);
  const cable = state.plans.list.find(({ kind }) => kind === "cable");
  await ask("plan:choose", { planId: cable.id });
  const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
  const devtools = await page.context().newCDPSession(page);
  await devtools.send("Performance.enable");
  await page.goto(`${server.url}/#flex-watch`);
  await page.getByText("Next watch").waitFor();
  const pin = await page.locator("#flex-which option").nth(1).getAttribute("value");
  await ask("flex-watch:set-up", {
    pins: [pin],
    seconds: 600,
    thresholds: { mostGaps: 10_000, mostSpreadOhms: 1000 },
  });
  await ask("flex-watch:start", {});
  await page.getByRole("heading", { name: /^Strip of/ }).waitFor();
  await new Promise((resolve) => setTimeout(resolve, 3000));
  await page.evaluate(countFrames);
  const frames = [];
  const heaps = [];
  let wiggled = 0;
  const began = performance.now();
  const elapsed = () => (performance.now() - began) / 1000;
  const fromWindows = seen.windows;
  if (seen.view?.state !== "running") throw new Error(JSON.stringify(seen.view?.end));
  for (let next = gapEverySeconds; next < seconds && seen.view?.state === "running"; next += gapEverySeconds) {
    await new Promise((resolve) => setTimeout(resolve, Math.max(0, next - elapsed()) * 1000));
    if (seen.view?.state !== "running") break;
    if (!fed) await ask("flex-watch:wiggle", { how: "blink" });
    wiggled += 1;
    if (next % heapEverySeconds >= gapEverySeconds) continue;
    // Collecting what is left over stops the page: its own frame does not count.
    frames.push(...(await takeFrames(page)));
    heaps.push(await heapBytes(devtools));
    await takeFrames(page);
  }
  frames.push(...(await takeFrames(page)));
  const perSecond = (seen.windows - fromWindows) / elapsed();
  await new Promise((resolve) => setTimeout(resolve, 500));
  const late = await snapshotSize(server.url);
  const counted = await page.locator(".flex-count strong").textContent();
  await ask("walk:stop", {});
  socket.close();
  const played = fed?.played ?? wiggled;
  report({ line, frames, heaps, perSecond, seen, played, counted, late, seconds: elapsed() });
}

/** What somebody who joins at the end is sent. */
async function snapshotSize(url) {
  const socket = io(url, { transports: ["websocket"], extraHeaders: { origin: url }, forceNew: true });
  const strips = await new Promise((resolve) => socket.once("strips", resolve));
  socket.close();
  return JSON.stringify(strips).length;
}

function report({ line, frames, heaps, perSecond, seen, played, counted, late, seconds }) {
  const sorted = frames.toSorted((a, b) => a - b);
  const at = (share) => sorted[Math.floor(share * (sorted.length - 1))].toFixed(1);
  const total = frames.reduce((sum, one) => sum + one, 0);
  const megabytes = (bytes) => (bytes / 1e6).toFixed(2);
  const half = heaps.slice(Math.floor(heaps.length / 2));
  line("real time", `${seconds.toFixed(0)} s; load average ${loadavg()[0].toFixed(1)}`);
  line(
    "windows received",
    `${perSecond.toFixed(1)} per second, in ${(seen.bytes / seen.windows).toFixed(1)} bytes each`,
  );
  line("frames per second", `${((1000 * frames.length) / total).toFixed(1)}`);
  line("length of a frame", `median ${at(0.5)}, 95 % ${at(0.95)}, 99 % ${at(0.99)}, longest ${at(1)} ms`);
  line(`frames over ${longFrameMs} ms`, `${frames.filter((ms) => ms > longFrameMs).length} of ${frames.length}`);
  line("heap of the page", `${heaps.map(megabytes).join(" ")} MB`);
  line("its growth, second half", `${megabytes((half.at(-1) ?? 0) - (half[0] ?? 0))} MB`);
  line("interruptions of 1 ms", `${played} played, ${seen.gaps} sent, ${counted} on the page`);
  line("a late joiner is sent", `${(late / 1000).toFixed(0)} kB`);
}

// Alone: node tests/benchmarks/stream.bench.mjs MINUTES [emulated]
if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [minutes = "2", source] = process.argv.slice(2);
  await run({ minutes: Number(minutes), emulated: source === "emulated" });
}
