import { BenchError } from "@pinwalk/host/bench/bench-error.js";
import { BenchSession } from "@pinwalk/host/bench/bench-session.js";
import { reconnectBench } from "@pinwalk/host/bench/reconnect.js";
import { beforeEach, describe, expect, it } from "vitest";
import { ManualClock } from "./manual-clock.js";
import { ScriptedBench } from "./scripted-bench.js";

let clock: ManualClock;
let ports: Map<string, () => ScriptedBench>;
let triedAtMs: number[];

beforeEach(() => {
  clock = new ManualClock();
  ports = new Map();
  triedAtMs = [];
});

const openPort = async (path: string) => {
  if (path === "/dev/a") triedAtMs.push(clock.nowMs());
  const make = ports.get(path);
  if (!make) throw new BenchError({ code: "cannot-open", path, detail: "no such device" });
  return make();
};
const listPaths = async () => [...ports.keys()];
const benchWith = (serial: string) => {
  const bench = new ScriptedBench(clock);
  bench.serial = serial;
  return bench;
};

/** A bench that was driving when its cable was pulled. */
async function lostInMidDrive(serial = "bench-01") {
  const bench = benchWith(serial);
  bench.settleMs = 9000;
  const session = await clock.until(BenchSession.open(bench));
  await clock.until(session.configure({ used: 0xff, senseOnly: 0, ground: 0x100 }));
  await clock.until(session.arm());
  const drive = session.drive(1, { mostMs: 10_000 }).catch(() => undefined);
  await clock.pass(100);
  bench.unplug();
  await clock.until(drive);
  return { path: "/dev/a", identity: session.identity };
}

describe("a bench that was lost", () => {
  it("is opened again when it comes back, off and with nothing continued", async () => {
    const lost = await lostInMidDrive();
    const again = benchWith("bench-01");
    clock.after(2000, () => ports.set("/dev/a", () => again));
    const session = await clock.until(reconnectBench(lost, { clock, openPort, listPaths }));
    expect(session.identity.serial).toBe("bench-01");
    await clock.pass(3000);
    expect(again.heard.map((request) => request.name)).toEqual(["hello", "off"]);
    expect(session.armed).toBe(false);
    expect(again.relayClosed).toBe(false);
  });

  it("is tried for with pauses that grow to five seconds", async () => {
    const lost = await lostInMidDrive();
    const startMs = clock.nowMs();
    const failed = reconnectBench(lost, { clock, openPort, listPaths, mostMs: 30_000 });
    await expect(clock.until(failed)).rejects.toMatchObject({ code: "cannot-open" });
    const pauses = triedAtMs.slice(1).map((at, index) => at - (triedAtMs[index] ?? 0));
    expect(pauses.slice(0, 6)).toEqual([250, 500, 1000, 2000, 4000, 5000]);
    expect(clock.nowMs() - startMs).toBeLessThanOrEqual(30_000);
  });

  it("is found by its serial number when it turns up at another path", async () => {
    const lost = await lostInMidDrive();
    ports.set("/dev/a", () => benchWith("bench-77"));
    ports.set("/dev/b", () => benchWith("bench-78"));
    ports.set("/dev/c", () => benchWith("bench-01"));
    const session = await clock.until(reconnectBench(lost, { clock, openPort, listPaths }));
    expect(session.identity.serial).toBe("bench-01");
  });

  it("is not replaced by another bench at its path", async () => {
    const lost = await lostInMidDrive();
    ports.set("/dev/a", () => benchWith("bench-77"));
    await expect(clock.until(reconnectBench(lost, { clock, openPort, listPaths, mostMs: 5000 }))).rejects.toMatchObject(
      { code: "other-bench", problem: { wanted: "bench-01", found: "bench-77" } },
    );
  });

  it("is only looked for at its path when it has no serial number", async () => {
    const lost = await lostInMidDrive("-");
    ports.set("/dev/b", () => benchWith("-"));
    await expect(clock.until(reconnectBench(lost, { clock, openPort, listPaths, mostMs: 5000 }))).rejects.toMatchObject(
      { code: "cannot-open" },
    );
  });

  it("is no longer looked for once nobody wants it", async () => {
    const lost = await lostInMidDrive();
    const stop = new AbortController();
    clock.after(3000, () => stop.abort());
    const startMs = clock.nowMs();
    const stopped = reconnectBench(lost, { clock, openPort, listPaths, signal: stop.signal });
    await expect(clock.until(stopped)).rejects.toMatchObject({ code: "port-closed" });
    expect(clock.nowMs() - startMs).toBe(3000);
  });
});
