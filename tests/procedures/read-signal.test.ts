import { flashRate } from "@pinwalk/host/procedures/listening/flash-rate.js";
import { readSignal, type SignalReading } from "@pinwalk/host/procedures/listening/read-signal.js";
import { signalWords } from "@pinwalk/host/procedures/listening/signal-words.js";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { flasher, joined, playedWindows, pulses, type Signal, turns } from "./played-signal.js";

const heard = (signal: Signal, lengthMs: number): SignalReading => readSignal(playedWindows(signal, lengthMs));
const kinds = ({ layers }: SignalReading): string[][] => layers.map(({ parts }) => parts.map(({ kind }) => kind));

describe("rate of a flasher", () => {
  const uneven = [
    { onMs: 160, offMs: 200 },
    { onMs: 160, offMs: 200 },
    { onMs: 160, offMs: 620 },
  ];

  it("is the mean of the single cycles, beside which cycles by time are named (NHTSA interpretation 01931ztv)", () => {
    const rate = flashRate(uneven);
    expect(rate?.perMinute).toBeCloseTo(136.75, 2);
    expect(rate?.perMinuteByTime).toBeCloseTo(120, 9);
    expect(rate?.verdict).toBe("fast");
  });

  it("finds the other pattern of those letters within the limits", () => {
    const rate = flashRate([
      { onMs: 200, offMs: 250 },
      { onMs: 200, offMs: 250 },
      { onMs: 200, offMs: 850 },
    ]);
    expect(rate?.perMinute).toBeCloseTo(107.9, 1);
    expect(rate?.perMinuteByTime).toBeCloseTo(92.3, 1);
    expect(rate?.verdict).toBe("normal");
  });

  it("is not given for two cycles, and leaves the first five out as soon as three remain", () => {
    expect(flashRate(uneven.slice(0, 2))).toBeUndefined();
    const warming = Array.from({ length: 5 }, () => ({ onMs: 400, offMs: 800 }));
    const running = Array.from({ length: 3 }, () => ({ onMs: 300, offMs: 300 }));
    expect(flashRate([...warming, ...running])).toMatchObject({ perMinute: 100, cycles: 3, settled: true });
    expect(flashRate([...warming, ...running.slice(1)])).toMatchObject({ settled: false, cycles: 7 });
  });

  it("comes out of the windows of a watch as it went in, and the words name both figures", () => {
    const reading = heard(turns(301, [160, 200, 160, 200, 160, 620, 160]), 2500);
    const part = reading.layers[0]?.parts[0];
    expect(part?.kind).toBe("flashing");
    if (part?.kind !== "flashing") return;
    expect(part.rate.perMinute).toBeCloseTo(136.75, 1);
    expect(part.rate.onMs).toBeCloseTo(160, 0);
    const words = signalWords(reading).join(" ");
    expect(words).toMatch(/136\.[78] a minute and decides; cycles by time make 120\.0/);
    expect(words).toContain("too fast");
  });
});

describe("what a wire carries", () => {
  it("is nothing where half a volt leaks in", () => {
    expect(heard(() => 0.5, 500).layers).toEqual([]);
    expect(signalWords(heard(() => 0.5, 500))[0]).toMatch(/^Nothing/);
  });

  it("is steady at its volts", () => {
    const reading = heard(() => 12.6, 500);
    expect(kinds(reading)).toEqual([["steady"]]);
    expect(reading.onVolts).toBeCloseTo(12.6, 9);
  });

  it("is a person's switching where no two on-times are alike", () => {
    const reading = heard(turns(100, [700, 400, 1500, 300, 400, 900, 2300, 500]), 7500);
    expect(reading.layers[0]?.parts).toEqual([{ kind: "switched", times: 4, onNow: false }]);
  });

  it("is switched and on now while the pedal is held", () => {
    expect(heard(turns(100, [700, 400, 5000]), 3000).layers[0]?.parts).toEqual([
      { kind: "switched", times: 2, onNow: true },
    ]);
  });

  it("is a flasher and a pedal on one wire, where both were seen", () => {
    const wire = joined(flasher(200, 350, 350, 10), turns(8500, [1800, 300]));
    const parts = heard(wire, 11_000).layers[0]?.parts ?? [];
    expect(parts.map(({ kind }) => kind)).toEqual(["flashing", "switched"]);
    expect(parts[0]).toMatchObject({ rate: { settled: true, verdict: "normal" } });
    expect(parts[1]).toMatchObject({ times: 1, onNow: false });
  });

  it("is a filament that is dimmed by pulses and full on for the pedal", () => {
    const reading = heard(joined(pulses(100, 0.15), turns(900, [1200, 500])), 4000);
    expect(kinds(reading)).toEqual([["steady"], ["switched"]]);
    expect(reading.layers[0]?.pulses?.duty).toBeCloseTo(0.15, 2);
    expect(reading.layers[0]?.pulses?.hertz).toBeCloseTo(100, 0);
    expect(signalWords(reading).join(" ")).toContain("a plain diode joint may upset it");
  });

  it("is dimmed all along though the listening ends in the pause between two pulses, right after full light", () => {
    for (const lengthMs of [2006, 2012, 2018]) {
      const reading = heard(joined(pulses(120, 0.15), turns(900, [1100, 5000])), lengthMs);
      expect(kinds(reading)[0]).toEqual(["steady"]);
    }
  });

  it("is a dimmed tail and a flashing turn on one wire", () => {
    const reading = heard(joined(pulses(120, 0.2), flasher(500, 400, 400, 9)), 8000);
    expect(kinds(reading)).toEqual([["steady"], ["flashing"]]);
    const [, full] = reading.layers;
    expect(full?.parts[0]).toMatchObject({ rate: { cycles: expect.any(Number), verdict: "normal" } });
    if (full?.parts[0]?.kind === "flashing") expect(full.parts[0].rate.perMinute).toBeCloseTo(75, 0);
  });

  it("says of pulses that are too fast for its windows that they are, with their duty", () => {
    const windows = playedWindows(pulses(730, 0.3), 1000);
    const reading = readSignal(windows.map(({ rises: _, ...window }) => window));
    expect(reading.layers[0]?.pulses?.hertz).toBeUndefined();
    expect(reading.layers[0]?.pulses?.duty).toBeCloseTo(0.3, 1);
    expect(signalWords(reading)[0]).toContain("faster than 200 Hz");
    // Where the bench has counted the edges, it knows how fast.
    expect(readSignal(windows).layers[0]?.pulses?.hertz).toBeCloseTo(730, -1);
  });

  it("is not disturbed by the bounce of a switch", () => {
    const bounce = turns(500, [1.2, 0.8, 2, 1, 1500, 0.5, 1, 800]);
    expect(heard(bounce, 3500).layers[0]?.parts).toEqual([{ kind: "switched", times: 1, onNow: false }]);
  });
});

describe("any signal", () => {
  it("that flashes gives its rate and on-time to 1 %, at whatever moment and with a count of noise", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 40, max: 200, noNaN: true }),
        fc.double({ min: 0.25, max: 0.8, noNaN: true }),
        fc.double({ min: 0, max: 900, noNaN: true }),
        fc.integer({ min: 1, max: 2 ** 31 - 1 }),
        (perMinute, onShare, fromMs, seed) => {
          const cycleMs = 60_000 / perMinute;
          const signal = flasher(fromMs, onShare * cycleMs, (1 - onShare) * cycleMs, 9);
          let state = seed;
          const noise = (): number => {
            state = (state * 48_271) % 2_147_483_647;
            return (state / 2_147_483_647 - 0.5) * 0.032;
          };
          const reading = readSignal(playedWindows(signal, fromMs + 9.5 * cycleMs, { noise }));
          const part = reading.layers[0]?.parts[0];
          if (part?.kind !== "flashing") return false;
          const { rate } = part;
          return (
            Math.abs(rate.perMinute / perMinute - 1) < 0.01 &&
            Math.abs(rate.onMs - onShare * cycleMs) < Math.max(2, 0.01 * onShare * cycleMs)
          );
        },
      ),
      { numRuns: 60 },
    );
  });

  it("of pulses up to 200 Hz gives frequency to 1 % and duty to 2 %", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 60, max: 200, noNaN: true }),
        fc.double({ min: 0.08, max: 0.92, noNaN: true }),
        fc.double({ min: 0, max: 20, noNaN: true }),
        (hertz, duty, phaseMs) => {
          const reading = heard(pulses(hertz, duty, 12.6, phaseMs), 1500);
          const found = reading.layers[0]?.pulses;
          if (found?.hertz === undefined || reading.layers.length !== 1) return false;
          return Math.abs(found.hertz / hertz - 1) < 0.01 && Math.abs(found.duty - duty) < 0.02;
        },
      ),
      { numRuns: 100 },
    );
  });

  it("of a person with a pedal is never taken for a flasher while neighbouring presses differ by a quarter", () => {
    const press = fc.tuple(
      fc.double({ min: 250, max: 2500, noNaN: true }),
      fc.double({ min: 250, max: 2500, noNaN: true }),
    );
    fc.assert(
      fc.property(fc.array(press, { minLength: 3, maxLength: 8 }), (presses) => {
        fc.pre(presses.every(([on], at) => at === 0 || Math.abs(Math.log(on / (presses[at - 1]?.[0] ?? on))) > 0.25));
        const durations = presses.flat();
        const reading = heard(turns(150, durations), 150 + durations.reduce((sum, one) => sum + one, 0));
        return kinds(reading).flat().join() === "switched";
      }),
      { numRuns: 60 },
    );
  });

  it("is read without a stumble, whatever the windows hold", () => {
    const volts = fc.double({ min: -0.2, max: 16.5, noNaN: true });
    fc.assert(
      fc.property(fc.array(fc.tuple(volts, volts, volts), { maxLength: 200 }), (rows) => {
        const reading = readSignal(
          rows.map((row, index) => {
            const [minVolts = 0, meanVolts = 0, maxVolts = 0] = row.toSorted((a, b) => a - b);
            return { atMs: index * 2, lengthMs: 2, minVolts, meanVolts, maxVolts };
          }),
        );
        return signalWords(reading).every((words) => words.length > 0 && !/NaN|undefined|Infinity/.test(words));
      }),
      { numRuns: 200 },
    );
  });
});
