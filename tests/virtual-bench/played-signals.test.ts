import { isOnAt, nextEdgeAfter, type Waveform } from "@pinwalk/host/bench/virtual/vehicle/played-signal.js";
import { openVirtualBench } from "@pinwalk/host/bench/virtual/virtual-bench.js";
import { adapterOf } from "@pinwalk/host/plan/adapter.js";
import { Listening } from "@pinwalk/host/procedures/listening/listening.js";
import type { SignalReading } from "@pinwalk/host/procedures/listening/read-signal.js";
import { afterEach, describe, expect, it } from "vitest";
import { hatchback } from "./sample-plans.js";

const channelOf = (pin: string) => adapterOf(hatchback).near.find((one) => one.pin === pin)?.channel ?? -1;
const flashing: Waveform = { kind: "flashing", perMinute: 90, onShare: 0.4 };

describe("a played wire", () => {
  it.each([
    ["a flasher", flashing, 60 / 90, 0.4],
    ["pulses", { kind: "pulses", hertz: 200, duty: 0.25 }, 0.005, 0.25],
    ["a pedal", { kind: "pedal", onMs: 700, offMs: 300 }, 1, 0.7],
  ] as const)("goes on and off where %s does, edge by edge", (_, waveform, cycle, share) => {
    let atSeconds = 0;
    const edges: number[] = [];
    for (let edge = 0; edge < 8; edge += 1) {
      atSeconds = nextEdgeAfter(waveform, atSeconds);
      edges.push(atSeconds);
      expect(isOnAt(waveform, atSeconds - cycle / 100)).toBe(edge % 2 === 0);
      expect(isOnAt(waveform, atSeconds + cycle / 100)).toBe(edge % 2 === 1);
    }
    for (const [index, edge] of edges.entries()) {
      expect(edge).toBeCloseTo((Math.floor(index / 2) + (index % 2 === 0 ? share : 1)) * cycle, 6);
    }
  });
});

describe("listening to the virtual bench", () => {
  let close = async (): Promise<void> => undefined;
  afterEach(() => close());

  async function open(faults: Parameters<typeof openVirtualBench>[0]["faults"] = []) {
    const bench = await openVirtualBench({ plan: hatchback, faults, pace: "fast" });
    close = () => bench.close();
    return bench;
  }

  async function heard(port: Awaited<ReturnType<typeof open>>, pin: string, forMs: number): Promise<SignalReading> {
    const outcome = await new Listening({ port, channel: channelOf(pin), forMs }).outcome;
    if (outcome.kind !== "heard") throw new Error(JSON.stringify(outcome));
    return outcome.reading;
  }

  it("hears an outlet's flasher over a dimmed tail on one pin", async () => {
    const bench = await open();
    await bench.plugOutlet({
      pins: [
        { pin: "LT", waveform: flashing },
        { pin: "LT", waveform: { kind: "pulses", hertz: 120, duty: 0.15 } },
      ],
    });
    const { layers, onVolts } = await heard(bench, "LT", 6000);
    expect(onVolts).toBeCloseTo(12.6, 1);
    const [dim, full] = layers;
    expect(Math.abs((dim?.pulses?.hertz ?? 0) / 120 - 1)).toBeLessThan(0.03);
    const [part] = full?.parts ?? [];
    if (part?.kind !== "flashing") throw new Error(JSON.stringify(layers));
    expect(Math.abs(part.rate.perMinute / 90 - 1)).toBeLessThan(0.01);
  }, 60_000);

  it("hears the vehicle's own flasher on the connector through a shorted diode, and nothing through a sound one", async () => {
    for (const faults of [[], [{ kind: "diode-shorted", at: "feed:LT/left-rear.bright" }] as const]) {
      const bench = await open(faults);
      await bench.playOwn([{ function: "left-stop-turn", waveform: flashing }]);
      const { layers } = await heard(bench, "LT", 4000);
      const kinds = layers.flatMap(({ parts }) => parts.map(({ kind }) => kind));
      expect(kinds).toEqual(faults.length === 0 ? [] : ["flashing"]);
    }
  }, 60_000);

  it("refuses what no outlet and no lamp does, and goes on", async () => {
    const bench = await open();
    const bad = { code: "bad-setting" };
    await expect(bench.plugOutlet({ pins: [{ pin: "GD", waveform: flashing }] })).rejects.toMatchObject(bad);
    await expect(bench.plugOutlet({ pins: [{ pin: "LT", waveform: flashing, volts: 99 }] })).rejects.toMatchObject(bad);
    const still: Waveform = { kind: "flashing", perMinute: 0, onShare: 0.5 };
    await expect(bench.playOwn([{ function: "tail", waveform: still }])).rejects.toMatchObject(bad);
    await bench.plugOutlet({ pins: [{ pin: "LT", waveform: { kind: "steady" } }] });
    await bench.plugOutlet(undefined);
    expect((await heard(bench, "LT", 400)).layers).toEqual([]);
  });
});
