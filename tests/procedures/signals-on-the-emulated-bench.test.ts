import type { AnalogSide, Switching } from "@pinwalk/host/bench/virtual/board/analog-side.js";
import type { CablePlan } from "@pinwalk/host/plan/plan-schema.js";
import { FlexWatch, placesOf } from "@pinwalk/host/procedures/flex-watch/flex-watch.js";
import { Listening } from "@pinwalk/host/procedures/listening/listening.js";
import { signalWords } from "@pinwalk/host/procedures/listening/signal-words.js";
import { describe, expect, it } from "vitest";
import { BenchInThread } from "./bench-in-thread.js";
import { flasher, joined, pulses, type Signal, turns } from "./played-signal.js";
import { fixturePlan } from "./scripted-walk.js";

/** A tow vehicle's outlet: its switches and modules on channel 1. */
class PlayedOutlet implements AnalogSide {
  constructor(readonly signal: Signal) {}

  switchTo(): void {}

  nearVolts(channel: number, atSeconds: number): number {
    return channel === 1 ? this.signal(atSeconds * 1000) : 0;
  }

  farVolts(): number {
    return 0;
  }

  shuntAmps(): number {
    return 0;
  }

  supplyVolts(): number {
    return 12.8;
  }
}

async function heard(signal: Signal, forMs: number) {
  const outcome = await new Listening({ port: new BenchInThread(new PlayedOutlet(signal)), channel: 1, forMs }).outcome;
  if (outcome.kind !== "heard") throw new Error(JSON.stringify(outcome));
  expect(outcome.lostWindows).toBe(0);
  return outcome.reading;
}

/** A straight cable whose one conductor is bad: what the far pin sees, worked out by hand. */
class MovedCable implements AnalogSide {
  #driven = 0;

  constructor(
    readonly loadOhms: number,
    readonly ohmsAt: (atMs: number) => number,
  ) {}

  switchTo({ relayClosed, driveMask }: Switching): void {
    this.#driven = relayClosed ? driveMask : 0;
  }

  #ampsAt(atSeconds: number): number {
    return this.#driven === 0 ? 0 : 12.8 / (0.1 + this.ohmsAt(atSeconds * 1000) + this.loadOhms);
  }

  nearVolts(channel: number, atSeconds: number): number {
    return (this.#driven >> channel) & 1 ? 12.8 - 0.1 * this.#ampsAt(atSeconds) : 0;
  }

  farVolts(channel: number, atSeconds: number): number {
    return (this.#driven >> channel) & 1 ? this.loadOhms * this.#ampsAt(atSeconds) : 0;
  }

  shuntAmps(atSeconds: number): number {
    return this.#ampsAt(atSeconds);
  }

  supplyVolts(): number {
    return 12.8;
  }
}

describe("listening through the firmware", () => {
  it("tells a flasher's rate to 1 % and its on-time to 2 ms", async () => {
    const reading = await heard(flasher(700, 310, 370, 12), 7500);
    const part = reading.layers[0]?.parts[0];
    if (part?.kind !== "flashing") throw new Error(JSON.stringify(reading.layers));
    expect(Math.abs(part.rate.perMinute / (60_000 / 680) - 1)).toBeLessThan(0.01);
    expect(Math.abs(part.rate.onMs - 310)).toBeLessThan(2);
    expect(part.rate.settled).toBe(true);
  }, 60_000);

  it("tells pulses up to 200 Hz with frequency and duty, and faster ones by the bench's count of edges", async () => {
    for (const [hertz, duty] of [
      [100, 0.2],
      [180, 0.7],
      [700, 0.5],
    ] as const) {
      const reading = await heard(pulses(hertz, duty), 900);
      const found = reading.layers[0]?.pulses;
      expect(Math.abs((found?.hertz ?? 0) / hertz - 1)).toBeLessThan(0.03);
      expect(Math.abs((found?.duty ?? 0) - duty)).toBeLessThan(0.04);
    }
  }, 60_000);

  it("tells the pedal from the dimmed tail on one filament", async () => {
    const reading = await heard(joined(pulses(120, 0.15), turns(900, [700, 400])), 2400);
    expect(reading.layers.map(({ level, parts }) => [level, parts.map(({ kind }) => kind)])).toEqual([
      ["dim", ["steady"]],
      ["full", ["switched"]],
    ]);
    expect(signalWords(reading).join(" ")).toContain("a plain diode joint may upset it");
  }, 60_000);
});

describe("a flex watch through the firmware", () => {
  const plan = fixturePlan("extension-iso-1724") as CablePlan;
  const [place] = placesOf(plan, undefined);
  const watch = async (ohmsAt: (atMs: number) => number) => {
    const bench = new BenchInThread(new MovedCable(plan.farLoadOhms, ohmsAt));
    const flex = new FlexWatch({ plan, port: bench, pins: [place?.pin ?? ""], forMs: 2500 });
    const outcome = await flex.outcome;
    expect(bench.emulated.outputs.last.relayClosed).toBe(false);
    if (outcome.kind !== "watched") throw new Error(JSON.stringify(outcome));
    return outcome.conductors[0];
  };

  it("passes a good conductor, with its resistance to 30 mΩ, half a count of the converter", async () => {
    const watched = await watch(() => 0.08);
    expect(watched?.judged.kind).toBe("steady");
    expect(watched?.lostWindows).toBe(0);
    // One count between near and far is 16 mV, 60 mΩ at this current.
    expect(Math.abs((watched?.ohms?.mean ?? 9) - 0.08)).toBeLessThan(0.03);
    const { greatest = 9, least = 0 } = watched?.ohms ?? {};
    expect(greatest - least).toBeLessThan(0.05);
  }, 60_000);

  it("counts an interruption of 1 ms and one of 20 ms, and times them to 0.3 ms", async () => {
    const watched = await watch((atMs) =>
      [
        [1200, 1],
        [1700, 20],
      ].some(([from = 0, length = 0]) => atMs >= from && atMs < from + length)
        ? 1e9
        : 0.08,
    );
    expect(watched?.judged.kind).toBe("interrupted");
    expect(watched?.gapCount).toBe(2);
    const lengths = watched?.gaps.map(({ lengthMs }) => lengthMs) ?? [];
    expect(Math.abs((lengths[0] ?? 0) - 1)).toBeLessThanOrEqual(0.3);
    expect(Math.abs((lengths[1] ?? 0) - 20)).toBeLessThanOrEqual(0.3);
  }, 60_000);

  it.each([
    ["holds", 0.08, "steady"],
    ["gives way by 1 Ω for 0.8 s", 1.08, "wavering"],
  ] as const)(
    "tells by its current whether a conductor %s whose ends sit on different inputs",
    async (_, ohms, kind) => {
      const crossed: CablePlan = {
        ...plan,
        conductors: plan.conductors.map((one, index, all) => ({
          ...one,
          far: all[[1, 0][index] ?? index]?.far ?? one.far,
        })),
      };
      const amps = placesOf(crossed, undefined).find(({ followed }) => followed === "amps");
      const bench = new BenchInThread(
        new MovedCable(plan.farLoadOhms, (atMs) => (atMs > 1500 && atMs < 2300 ? ohms : 0.08)),
      );
      const outcome = await new FlexWatch({ plan: crossed, port: bench, pins: [amps?.pin ?? ""], forMs: 4000 }).outcome;
      if (outcome.kind !== "watched") throw new Error(JSON.stringify(outcome));
      const [watched] = outcome.conductors;
      expect(watched?.judged.kind).toBe(kind);
      // Noise alone makes less than the doubt that the verdict allows for it.
      if (kind === "steady") expect(watched?.loopSpreadOhms).toBeLessThan(0.2);
      else expect(Math.abs((watched?.loopSpreadOhms ?? 0) - 1)).toBeLessThan(0.2);
    },
    60_000,
  );

  it("finds a crimp that gives way for half a second", async () => {
    const watched = await watch((atMs) => (atMs > 1300 && atMs < 1800 ? 0.6 : 0.08));
    expect(watched?.judged.kind).toBe("wavering");
    const { greatest = 0, least = 9 } = watched?.ohms ?? {};
    expect(Math.abs(greatest - least - 0.52)).toBeLessThan(0.06);
  }, 60_000);
});
