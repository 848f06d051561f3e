import type { WatchBlock } from "@pinwalk/host/bench/watch-values.js";
import { StripBook } from "@pinwalk/host/server/strip/strip-book.js";
import type { StripBatch } from "@pinwalk/host/server/strip/strip-contract.js";
import { describe, expect, test } from "vitest";
import { benchOnAPort, machineWithPorts } from "./bench-on-a-port.js";
import { serveForTest } from "./serve-for-test.js";
import { WorkbenchClient } from "./workbench-client.js";

const cable = "sample:umbilical-blade-7-to-round-6.json";
const thresholds = { leastGapMs: 1, mostGaps: 0, mostSpreadOhms: 0.1 };

async function cableClient(): Promise<{ url: string; client: WorkbenchClient; strips: StripBatch[] }> {
  const { url } = await serveForTest({ benches: machineWithPorts() });
  const client = await WorkbenchClient.open(url);
  const strips: StripBatch[] = [];
  client.socket.on("strip", (batch) => strips.push(batch));
  await client.must("plan:choose", { planId: cable });
  return { url, client, strips };
}

const watching = (client: WorkbenchClient, pin: string) =>
  client.until(({ flexWatch }) => flexWatch.now?.pin === pin && flexWatch.now.ohms !== null);
const ended = (client: WorkbenchClient) => client.until(({ flexWatch }) => flexWatch.state === "ended");

/** Every window of a pin that was sent, by its number; fails where one came twice. */
function windowsOf(batches: readonly StripBatch[], pin: string): Map<number, { least: number; greatest: number }> {
  const windows = new Map<number, { least: number; greatest: number }>();
  for (const piece of batches.flatMap((batch) => batch.pins[pin]?.fine ?? [])) {
    for (const [index, least] of piece.least.entries()) {
      expect(windows.has(piece.first + index)).toBe(false);
      windows.set(piece.first + index, { least, greatest: piece.greatest[index] ?? least });
    }
  }
  return windows;
}

describe("a flex watch through the server", () => {
  test("tells every interruption of a moved conductor, and whoever joins late has the same strip", async () => {
    const { url, client, strips } = await cableClient();
    await client.must("flex-watch:set-up", { pins: ["LT", "TM"], seconds: 20, thresholds });
    await client.must("flex-watch:start", {});
    await watching(client, "LT");
    await client.must("flex-watch:wiggle", { how: "burst" });
    await client.until(({ flexWatch }) => flexWatch.gaps.length === 7);
    await client.must("flex-watch:next", {});
    await watching(client, "TM");
    const late = new WorkbenchClient(url);
    const lateLive: StripBatch[] = [];
    late.socket.on("strip", (batch) => lateLive.push(batch));
    const kept = await new Promise<readonly StripBatch[]>((resolve) => late.socket.once("strips", resolve));
    await client.must("flex-watch:wiggle", { how: "blink" });
    await client.until(({ flexWatch }) => flexWatch.gaps.length === 8);
    await client.must("flex-watch:next", {});
    const { flexWatch } = await ended(client);
    await ended(late);

    expect(flexWatch.end).toEqual({ kind: "watched", overall: "fail" });
    const played = [1, 4, 2, 9, 1.5, 30, 3];
    const [first, second] = flexWatch.conductors;
    expect([first?.gapCount, second?.gapCount, first?.verdict]).toEqual([7, 1, "fail"]);
    for (const [index, { lengthMs }] of flexWatch.gaps.slice(0, 7).entries())
      expect(Math.abs(lengthMs - (played[index] ?? 0))).toBeLessThan(0.4);

    const windows = windowsOf(strips, "LT");
    expect([...windows.keys()]).toEqual([...windows.keys()].map((_, index) => index));
    const dips = [...windows.values()].filter(({ least, greatest }) => least < 1000 && greatest > 11_000);
    expect(dips.length).toBeGreaterThanOrEqual(7);
    const lateTm = windowsOf([...kept.filter(({ job }) => job === "flexWatch"), ...lateLive], "TM");
    expect([...lateTm]).toEqual([...windowsOf(strips, "TM")]);
    const roughLt = kept.find(({ job }) => job === "flexWatch")?.pins.LT?.rough;
    expect(roughLt?.least.filter((least) => least < 1000).length).toBeGreaterThan(1);
    late.close();
    client.close();
  }, 60_000);

  test("its result can be had as a file as long as it is the last one", async () => {
    const { url, client } = await cableClient();
    await client.must("flex-watch:set-up", { pins: ["TM"], seconds: 2, thresholds });
    await client.must("flex-watch:start", {});
    await ended(client);
    const answer = await fetch(`${url}/flex-watch/result?run=1`);
    expect(answer.headers.get("content-disposition")).toContain("pinwalk-flex-1.json");
    expect(await answer.json()).toMatchObject({
      format: "pinwalk-flex/1",
      overall: "pass",
      thresholds,
      conductors: [{ pin: "TM", gapCount: 0, lostWindows: 0, judged: { kind: "steady" } }],
    });
    expect((await fetch(`${url}/flex-watch/result?run=2`)).status).toBe(404);
    await client.must("plan:choose", { planId: "sample:extension-iso-1724.json" });
    expect((await fetch(`${url}/flex-watch/result`)).status).toBe(404);
    client.close();
  }, 30_000);

  test("a strained crimp is told by its resistance, and stopping leaves everything off", async () => {
    const { client } = await cableClient();
    await client.must("flex-watch:set-up", { pins: ["RT"], seconds: 60, thresholds });
    await client.must("flex-watch:start", {});
    await watching(client, "RT");
    await client.must("flex-watch:wiggle", { how: "strain" });
    const { flexWatch } = await client.until(
      ({ flexWatch }) => (flexWatch.conductors[0]?.ohms?.greatest ?? 0) > 0.5 && (flexWatch.now?.ohms ?? 1) < 0.3,
    );
    expect(flexWatch.conductors[0]?.gapCount).toBe(0);
    await client.must("walk:stop", {});
    const stopped = await ended(client);
    expect(stopped.flexWatch.end).toMatchObject({
      kind: "stopped",
      message: expect.stringContaining("outputs are off"),
    });
    expect(stopped.flexWatch.hasResult).toBe(false);
    client.close();
  }, 30_000);

  test("refuses a vehicle, a pin that is no conductor, a second job, and a wiggle where nothing is simulated", async () => {
    const { client } = await cableClient();
    const settings = { pins: ["GD"], seconds: 2, thresholds };
    expect(await client.ask("flex-watch:set-up", settings)).toMatchObject({ code: "no-such-conductor" });
    expect(await client.ask("flex-watch:wiggle", { how: "blink" })).toMatchObject({ code: "no-simulation" });
    expect(await client.say("flex-watch:set-up", { ...settings, seconds: 1e9 })).toMatchObject({ code: "bad-command" });
    await client.must("flex-watch:start", {});
    expect(await client.ask("listening:start", {})).toMatchObject({ code: "walking" });
    expect(await client.ask("walk:start", {})).toMatchObject({ code: "walking" });
    await client.must("walk:stop", {});
    await ended(client);
    await client.must("bench:choose", { benchId: benchOnAPort.id });
    const { flexWatch } = await client.until((state) => state.benches.chosenId === benchOnAPort.id);
    expect(flexWatch.hindrance).toMatch(/^Tick \d checks/);
    await client.must("plan:choose", { planId: "sample:hatchback-round-6.json" });
    expect(await client.ask("flex-watch:start", {})).toMatchObject({ code: "not-ready" });
    expect(client.state.flexWatch.hindrance).toContain("of a vehicle");
    client.close();
  }, 30_000);
});

describe("the strips that are kept", () => {
  const windows = (least: number) => Array.from({ length: 16 }, () => ({ least, mean: 12, greatest: 12.5, edges: 0 }));
  const block = (number: number, least = 12): WatchBlock => ({
    first: number * 16,
    windows: windows(least),
    amps: 0.27,
    nearVolts: 12.7,
  });
  const sizeOf = (batch: StripBatch) => JSON.stringify(batch).length;

  test("stay bounded over three quarters of an hour, with an interruption of one window still in them", () => {
    const book = new StripBook("flexWatch", 1, 1);
    const blocks = (45 * 60_000) / 32;
    for (let number = 0; number < blocks; number += 1) {
      const fallen = number === blocks - 20_000;
      book.add(
        "LT",
        fallen ? { ...block(number), windows: [...windows(12).slice(1), ...windows(0).slice(15)] } : block(number),
      );
      if (number % 50 === 0) book.takeUnsent();
    }
    book.takeUnsent();
    const sent = book.sent();
    expect(sent.pins.LT?.rough.least.filter((least) => least === 0)).toHaveLength(1);
    expect(sent.pins.LT?.fine.flatMap(({ least }) => least).length).toBeLessThanOrEqual(5000);
    expect(sizeOf(sent)).toBeLessThan(600_000);
  });

  test("are bounded over all pins together, and only the pin under watch is kept window by window", () => {
    const pins = Array.from({ length: 12 }, (_, index) => `P${index}`);
    const book = new StripBook("flexWatch", 1, pins.length);
    for (const pin of pins) {
      for (let number = 0; number < 6500; number += 1) book.add(pin, block(number));
      book.takeUnsent();
    }
    const sent = book.sent();
    expect(Object.values(sent.pins).filter(({ fine }) => fine.length > 0)).toHaveLength(1);
    expect(sizeOf(sent)).toBeLessThan(600_000);
  });

  test("a hole on the line stays a hole", () => {
    const book = new StripBook("listening", 1, 1);
    book.add("LT", block(0));
    book.add("LT", block(40));
    expect(book.takeUnsent()?.pins.LT?.fine.map(({ first }) => first)).toEqual([0, 640]);
    expect(book.takeUnsent()).toBeUndefined();
    book.add("LT", block(41), 0.083);
    book.add("LT", block(44));
    expect(book.takeUnsent()?.pins.LT?.rough).toMatchObject({ at: [640], ohms: [83] });
  });
});
