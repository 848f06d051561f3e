import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { isBenchError } from "@pinwalk/host/bench/bench-error.js";
import { BenchSession } from "@pinwalk/host/bench/bench-session.js";
import { findBenches } from "@pinwalk/host/bench/discovery.js";
import { openSerialPort } from "@pinwalk/host/bench/serial-port.js";
import { adapterOf } from "@pinwalk/host/plan/adapter.js";
import { parsePlan } from "@pinwalk/host/plan/parse-plan.js";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { type EventProcess, startEventProcess } from "./event-process.js";
import { needsSocat, openPtyPair, type PtyPair } from "./pty-pair.js";

const planPath = fileURLToPath(new URL("../../fixtures/plans/hatchback-round-6.json", import.meta.url));
const benchScript = fileURLToPath(import.meta.resolve("@pinwalk/host/bench/virtual/bench-on-pty-process.js"));
const hostScript = fileURLToPath(new URL("./hold-lamp-process.mjs", import.meta.url));

const parsed = parsePlan(JSON.parse(readFileSync(planPath, "utf8")));
if (!parsed.ok) throw new Error("the sample plan does not parse");
const adapter = adapterOf(parsed.plan);
const setup = { used: adapter.usedMask, senseOnly: adapter.senseOnlyMask, ground: adapter.groundMask };
const channel = adapter.near.find((one) => one.pin === "TM")?.channel ?? -1;

/** The bench owes it within 1 s of the last valid line; 100 ms are for whoever looks. */
const mostAfterLastLineMs = 1100;

describe.skipIf(needsSocat().skip)("host and emulated bench as two processes on one line (needs socat)", () => {
  let pair: PtyPair;
  let bench: EventProcess;
  const cleanUp: (() => unknown)[] = [];

  beforeEach(async () => {
    pair = await openPtyPair();
    cleanUp.push(() => pair.remove());
    bench = startEventProcess(benchScript, ["--port", pair.benchPath, "--plan", planPath]);
    cleanUp.push(() => bench.kill("SIGTERM"));
    await bench.event((event) => event.event === "ready");
  });

  afterEach(async () => {
    for (const undo of cleanUp.splice(0).reverse()) await undo();
  });

  const open = async () => {
    const session = await BenchSession.open(await openSerialPort(pair.hostPath, { baud: 250_000 }));
    cleanUp.push(() => session.close());
    await session.configure(setup);
    return session;
  };
  const outputsAfter = (count: number) => bench.events.slice(count).filter((event) => event.event === "output");
  const drivenOn = (event: Readonly<Record<string, unknown>>) =>
    event.event === "output" && event.driveMask === 1 << channel;

  /** How long after the last line that the bench could read all its outputs were off, emulated milliseconds. */
  async function offAfterLastLineMs(): Promise<number> {
    const from = bench.events.findIndex(drivenOn);
    const off = await bench.event((event) => {
      const later = bench.events.indexOf(event) > from;
      return later && event.event === "output" && event.relayClosed === false && event.driveMask === 0;
    });
    const lines = bench.events.slice(0, bench.events.indexOf(off)).filter((event) => event.event === "valid-line");
    return Number(off.atMs) - Number(lines.at(-1)?.atMs);
  }

  it("is found by asking the port", async () => {
    const [found] = await findBenches({ paths: [pair.hostPath] });
    expect(found).toMatchObject({ kind: "bench", path: pair.hostPath, identity: { protocol: 2, channels: 13 } });
  });

  it("measures and drives through the native binding", async () => {
    const session = await open();
    const rest = await session.rest();
    const measured = rest.volts.flatMap((volts) => (volts === undefined ? [] : [Math.abs(volts)]));
    expect(measured.length).toBeGreaterThanOrEqual(5);
    expect(Math.max(...measured)).toBeLessThan(0.1);
    await session.arm();
    const driven = await session.drive(channel, { mostMs: 4000 });
    expect(driven.end).toBe("settled");
    expect(driven.volts[channel]).toBeGreaterThan(11);
    expect(session.counts).toMatchObject({ garbage: 0, garbledAtBench: 0 });
    const before = bench.events.length;
    await session.close();
    await bench.event((event) => bench.events.indexOf(event) >= before && event.relayClosed === false);
    expect(outputsAfter(before).at(-1)).toMatchObject({ driveMask: 0, lowMask: 0 });
  });

  it("goes off within 1.1 s when the host is killed in mid-drive", async () => {
    const masks = [setup.used, setup.ground].map(String);
    const host = startEventProcess(hostScript, [pair.hostPath, String(channel), ...masks]);
    cleanUp.push(() => host.kill("SIGKILL"));
    await host.event((event) => event.kind === "holding");
    await bench.event(drivenOn);
    await host.kill("SIGKILL");
    const durationMs = await offAfterLastLineMs();
    expect(durationMs).toBeGreaterThan(0);
    expect(durationMs).toBeLessThanOrEqual(mostAfterLastLineMs);
  });

  it("goes off when the cable is pulled in mid-drive, and the host says so", async () => {
    const session = await open();
    await session.arm();
    const hold = await session.hold(channel);
    await bench.event(drivenOn);
    pair.pull();
    const error = await hold.ended.catch((reason: unknown) => reason);
    expect(isBenchError(error, "port-lost")).toBe(true);
    expect(session.offIsConfirmed).toBe(false);
    expect(await offAfterLastLineMs()).toBeLessThanOrEqual(mostAfterLastLineMs);
  });

  it("is given up by the host when the process of the bench dies, though the line lives", async () => {
    const session = await open();
    await session.arm();
    const hold = await session.hold(channel);
    await bench.kill("SIGKILL");
    const error = await hold.ended.catch((reason: unknown) => reason);
    expect(isBenchError(error)).toBe(true);
    await session.close();
    expect(session.armed).toBe(false);
  });
});
