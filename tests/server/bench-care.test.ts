import { encodePush } from "@pinwalk/firmware-protocol/bench-line.js";
import { protocolVersion } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { encodeRequest } from "@pinwalk/firmware-protocol/request-line.js";
import { SerialLog } from "@pinwalk/host/bench/serial-log.js";
import { openBareVirtualBench } from "@pinwalk/host/bench/virtual/virtual-bench.js";
import { calibrationDocumentSchema } from "@pinwalk/host/procedures/calibration/calibration-document.js";
import type { CalibrationStart, SerialLogView } from "@pinwalk/host/server/bench-care/bench-care-contract.js";
import { serialLineView } from "@pinwalk/host/server/bench-care/line-words.js";
import { SelfTestRun } from "@pinwalk/host/server/bench-care/self-test-run.js";
import { serialView } from "@pinwalk/host/server/bench-source.js";
import type { WorkbenchState } from "@pinwalk/host/server/contract.js";
import { describe, expect, it } from "vitest";
import { benchOnAPort, machineWithPorts } from "./bench-on-a-port.js";
import { serveForTest } from "./serve-for-test.js";
import { WorkbenchClient } from "./workbench-client.js";

const start: CalibrationStart = {
  meter: { percent: 0.1, volts: 0.003 },
  resistors: [
    { ohms: 10, percent: 0.1 },
    { ohms: 4.7, percent: 0.1 },
  ],
  lowResistor: { ohms: 1000, percent: 0.1 },
  serial: "shop-3",
};

const calibrating = (step: number) => (state: WorkbenchState) =>
  state.calibration.step === step || state.calibration.state === "ended";
const calibrationEnded = ({ calibration }: WorkbenchState) => calibration.state === "ended";

/** Does a step on the virtual bench, and answers what the simulated meter shows. */
async function obey(client: WorkbenchClient, step: number): Promise<void> {
  const { calibration } = await client.until(calibrating(step));
  if (calibration.simulated?.offer) await client.must("bench-care:simulate", {});
  const { asks, simulated } = client.state.calibration;
  const volts = asks?.wants === "volts" ? (simulated?.meterVolts ?? null) : 0;
  await client.must("calibration:answer", { step, volts });
}

const facts = (client: WorkbenchClient) => client.state.benches.found.find(({ id }) => id === "virtual")?.facts;

describe("looking after a bench from the browser", () => {
  it("tests it item by item, one step at a time, and keeps what was found as a document and a page", async () => {
    const { url } = await serveForTest();
    const client = await WorkbenchClient.open(url);
    const other = await WorkbenchClient.open(url);
    await client.until(({ benches }) => !benches.searching);
    await client.must("self-test:start", {});
    await other.until(({ selfTest }) => selfTest.asks === "nothing-plugged-in");
    expect(other.state.selfTest.items.map(({ id }) => id)).toContain("reference");
    expect((await other.ask("walk:start", {})).ok).toBe(false);
    expect((await other.ask("calibration:start", start)).ok).toBe(false);
    // Nothing is plugged in when it is opened, so there is nothing to do.
    expect(client.state.selfTest.simulated?.offer).toBeNull();
    await client.must("self-test:answer", { step: 1, ready: true });
    expect((await client.ask("self-test:answer", { step: 1, ready: true })).ok).toBe(false);
    await client.until(({ selfTest }) => selfTest.asks === "far-loads");
    await client.must("bench-care:simulate", {});
    expect(client.state.selfTest.simulated?.pluggedIn).toContain("far socket");
    await client.must("self-test:answer", { step: 2, ready: true });
    const { selfTest } = await client.until(({ selfTest }) => selfTest.state === "ended");
    const verdict = (id: string) => selfTest.items.find((item) => item.id === id)?.verdict;
    expect(selfTest.items.filter((item) => item.verdict === "fail")).toEqual([]);
    expect([verdict("low-7"), verdict("load-7"), verdict("slow-limit")]).toEqual(["pass", "pass", "pass"]);
    // It was never calibrated: that is open, and says where to go.
    expect(verdict("constants")).toBe("unsure");
    expect(selfTest.end).toMatchObject({ kind: "done", overall: "unsure" });

    const id = selfTest.end?.kind === "done" ? selfTest.end.documentId : null;
    const document = await (await fetch(`${url}/bench-care/documents/${id}`)).json();
    expect(document).toMatchObject({ format: "pinwalk-selftest-report/1", overall: "unsure", items: selfTest.items });
    const page = await fetch(`${url}/bench-care/documents/${id}/page`);
    expect(page.headers.get("content-security-policy")).toContain("default-src 'none'");
    expect(await page.text()).toContain("The slow limit, set to 0.1 A, ended the drive");
    expect((await fetch(`${url}/bench-care/documents/..%2F..%2Frecords`)).status).toBe(404);

    // The line was written down all the while, and says what it means.
    const log = (await (await fetch(`${url}/bench-care/serial?after=0`)).json()) as SerialLogView;
    expect(log.lines.length).toBeGreaterThan(100);
    expect(log.lines.map(({ words }) => words)).toContain("Full supply on one channel: channel 7, most 1500\u00a0ms");
    const later = (await (await fetch(`${url}/bench-care/serial?after=${log.last}`)).json()) as SerialLogView;
    expect(later.lines.every(({ seq }) => seq > log.last)).toBe(true);
    const text = await (await fetch(`${url}/bench-care/serial.txt`)).text();
    expect(text.split("\n").find((line) => line.includes("?") && line.includes("drive 7"))).toMatch(
      /^20\S+Z virtual → \?\w\w drive 7 1500\*\w{4}\tFull supply/,
    );
    client.close();
    other.close();
  }, 60_000);

  it("calibrates one of scattered parts, shows what came out before it writes, and leaves it alone when stopped", async () => {
    const { url } = await serveForTest();
    const client = await WorkbenchClient.open(url);
    await client.until(({ benches }) => !benches.searching);
    await client.must("bench:board", { scattered: true });
    await client.must("bench:ask", {});
    expect(facts(client)).toMatchObject({ serial: null, protocol: protocolVersion, calibration: { state: "never" } });
    expect(facts(client)?.temperatureC).toBeCloseTo(20, 0);

    await client.must("calibration:start", start);
    const { calibration: first } = await client.until(calibrating(1));
    expect(first.asks?.words).toContain("Unplug everything");
    expect(first.caution).toContain("fire");
    expect(await client.ask("calibration:answer", { step: 1, volts: null })).toMatchObject({ ok: false });
    for (let step = 1; step < first.steps; step += 1) await obey(client, step);
    const { calibration: last } = await client.until(calibrating(first.steps));
    expect(last.asks?.id).toBe("write");
    expect(last.found.map(({ name }) => name)).toEqual(
      expect.arrayContaining([expect.stringContaining("Uncertainty of volts"), expect.stringContaining("current")]),
    );
    await obey(client, first.steps);
    const { calibration } = await client.until(calibrationEnded);
    expect(calibration.end).toMatchObject({ kind: "done" });
    await client.until(({ benchCare }) => !benchCare.asking && facts(client)?.serial === "shop-3");
    const good = facts(client);
    expect(good?.calibration).toMatchObject({ state: "good", words: expect.stringContaining("Good for another") });
    expect(good?.calibration.uncertainty).toMatch(/^volts to \d\.\d\d\u00a0%/);
    const id = client.state.benchCare.documents[0]?.id;
    const document = await (await fetch(`${url}/bench-care/documents/${id}`)).json();
    const { constants } = calibrationDocumentSchema.parse(document);
    // Parts that scatter need another gain each; those of the design would all need one.
    expect(new Set(constants.near.map(({ gain }) => gain.toFixed(3))).size).toBeGreaterThan(3);
    expect(await (await fetch(`${url}/bench-care/documents/${id}/page`)).text()).toContain("shop-3");

    const { revision } = calibrationDocumentSchema.parse(document);
    await client.must("calibration:start", { ...start, serial: "other-1" });
    for (const step of [1, 2, 3]) await obey(client, step);
    await client.until(calibrating(4));
    await client.must("walk:stop", {});
    const stopped = await client.until(calibrationEnded);
    expect(stopped.calibration.end).toMatchObject({
      kind: "stopped",
      message: expect.stringContaining("outputs are off"),
    });
    await client.until(({ benchCare }) => !benchCare.asking);
    expect(facts(client)).toEqual({ ...good, supplyVolts: expect.any(Number), temperatureC: expect.any(Number) });

    // A slip of the pen ends it, and writes nothing either.
    await client.must("calibration:start", start);
    await client.until(calibrating(1));
    await client.must("calibration:answer", { step: 1, volts: 1.28 });
    const slipped = await client.until(calibrationEnded);
    expect(slipped.calibration.end).toMatchObject({
      kind: "could-not-test",
      message: expect.stringContaining("Nothing was written"),
    });
    expect(client.state.benchCare.documents).toHaveLength(1);
    expect(revision).toBe(1);
    client.close();
  }, 60_000);

  it("refuses what no meter, resistor or serial number can be", async () => {
    const { url } = await serveForTest();
    const client = await WorkbenchClient.open(url);
    for (const bad of [
      { ...start, meter: { percent: 0, volts: 0 } },
      { ...start, resistors: [{ ohms: 10, percent: 1 }] },
      { ...start, lowResistor: { ohms: -5, percent: 1 } },
      { ...start, serial: "no blanks" },
      { ...start, more: 1 },
    ])
      expect(await client.say("calibration:start", bad)).toMatchObject({ code: "bad-command" });
    expect(await client.say("calibration:answer", { step: 1, volts: 12 })).toMatchObject({ code: "not-going" });
    expect(await client.say("bench-care:simulate", {})).toMatchObject({ code: "no-simulation" });
    client.close();
  });
});

describe("a self-test that nobody watches any more", () => {
  it("ends while something is measured, and waits while nothing is on until somebody comes back", async () => {
    const states: boolean[] = [];
    const run: SelfTestRun = new SelfTestRun({
      bench: machineWithPorts().always[0] ?? benchOnAPort,
      openPort: () => openBareVirtualBench({ pace: "fast" }),
      onTested: async () => "none",
      onView: () => {
        if (run.view.asks === "nothing-plugged-in") {
          run.stop("nobody-left");
          run.stop("controller-lost");
          states.push(run.going);
          run.answer(run.view.step, true);
        } else if (run.view.doing !== null && run.view.state === "running") run.stop("nobody-left");
      },
    });
    await run.done;
    expect(states).toEqual([true]);
    expect(run.view.end).toMatchObject({ kind: "stopped", message: expect.stringContaining("outputs are off") });
    expect(run.view.items.some(({ id }) => id === "load-0")).toBe(false);
  });
});

describe("what is known of a bench", () => {
  const identity = {
    protocol: protocolVersion,
    firmware: "1.0.0",
    serial: "shop-3",
    channels: 13,
    driveChannels: 8,
    reset: "power",
  };
  const found = (calibratedAt?: string) =>
    serialView(
      {
        kind: "bench",
        path: "/dev/ttyUSB0",
        identity: { ...identity, reset: "power", ...(calibratedAt === undefined ? {} : { calibratedAt }) },
      },
      new Date("2026-11-25T12:00:00Z"),
    ).facts?.calibration;

  it.each([
    [undefined, "never", /^Never calibrated/],
    ["2026-06-01", "good", /^Good for another 188 days/],
    ["2025-12-05", "due-soon", /^Due in 10 days/],
    ["2025-11-01", "overdue", /^Overdue by 24 days: calibrate/],
    ["2025-13-77", "overdue", /no date/],
  ])("of one calibrated %s says that it is %s", (calibratedAt, state, words) => {
    expect(found(calibratedAt)).toMatchObject({ state, words: expect.stringMatching(words) });
  });
});

describe("the serial log", () => {
  const said = (log: SerialLog, bytes: Uint8Array) => log.tap("/dev/a", "from-bench")(bytes);

  it("shows what cannot be read as text that does nothing, whatever a board sends", () => {
    const log = new SerialLog();
    said(log, Buffer.from("\u001b[2J<script>\u0000\u00ff\r\n", "latin1"));
    expect(log.after(0, 10).map(serialLineView)).toMatchObject([
      { raw: "\\x1b[2J<script>\\x00\\xff", words: "Cannot be read" },
    ]);
  });

  it("cuts a line that never ends, and forgets the oldest lines", () => {
    const log = new SerialLog(50);
    const tap = log.tap("/dev/a", "from-bench");
    tap(new Uint8Array(10_000).fill(0x41));
    const cut = log.after(0, 1000);
    expect(cut).toHaveLength(50);
    expect(cut.every(({ bytes }) => bytes.length <= 200)).toBe(true);
    for (let count = 0; count < 1000; count += 1) tap(Buffer.from(`line ${count}\n`));
    const kept = log.after(0, 10_000);
    expect(kept.length).toBeLessThan(100);
    expect(kept.at(-1)?.seq).toBe(log.last);
  });

  it("joins the pieces of a line, and tells the ways apart", () => {
    const log = new SerialLog();
    const request = encodeRequest(1, "drive", { channel: 3, most: 4000 });
    const [sent, heard] = [log.tap("/dev/a", "to-bench"), log.tap("/dev/a", "from-bench")];
    sent(request.subarray(0, 5));
    heard(encodePush("button", {}));
    sent(request.subarray(5));
    expect(log.after(0, 10).map(serialLineView)).toMatchObject([
      { direction: "from-bench", words: "The start button was pressed" },
      { direction: "to-bench", words: "Full supply on one channel: channel 3, most 4000\u00a0ms" },
    ]);
  });
});
