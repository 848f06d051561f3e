import fc from "fast-check";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { HostRunner, hostCompiler } from "./host-runner.js";
import { leftOut } from "./left-out.js";

const skip = leftOut(hostCompiler !== undefined, "a C compiler", "the firmware's arithmetic on the host");

/** The part's own equation, as the bench page gives it: 10 kΩ, B 3950, against 10 kΩ to the reference. */
function q5At(celsius: number): number {
  const ohms = 10_000 * Math.exp(3950 * (1 / (celsius + 273.15) - 1 / 298.15));
  return Math.round((32 * 1024 * ohms) / (ohms + 10_000));
}

describe.skipIf(skip)("the firmware's arithmetic", () => {
  let runner: HostRunner;
  beforeAll(() => {
    runner = new HostRunner();
  });
  afterAll(() => runner.remove());

  it("has the checksum of the catalogue's check string", () => {
    expect(runner.ask([`crc ${Buffer.from("123456789").toString("hex")}`])).toEqual(["29B1"]);
  });

  it("reads the thermistor within 0.2 °C from -40 to 85 °C, and stops at the ends", () => {
    const degrees = Array.from({ length: 251 }, (_, at) => -40 + at / 2);
    const answers = runner.ask(degrees.map((celsius) => `temperature ${q5At(celsius)}`));
    const errors = degrees.map((celsius, at) => Math.abs(Number(answers[at]) - 10 * celsius));
    expect(Math.max(...errors)).toBeLessThanOrEqual(2);
    expect(runner.ask(["temperature 32736", "temperature 0", "temperature 16384"])).toEqual(["-400", "850", "250"]);
  });

  const settling = (milliamps: readonly number[]): boolean[] => {
    const [answer = ""] = runner.ask([`settling ${milliamps.map((value) => Math.round(value)).join(" ")}`]);
    return [...answer].map((digit) => digit === "1");
  };

  it("calls a current settled after 60 ms that was flat from the second window on, at any size", () => {
    expect(settling([0, 0, 0, 0, 0, 0]).indexOf(true)).toBe(5);
    expect(settling([2900, 2000, 2004, 2003, 2005, 2004]).indexOf(true)).toBe(5);
    expect(settling([65_000, 60_000, 60_100, 59_900, 60_000, 60_000]).indexOf(true)).toBe(5);
  });

  /** After which window it settles, and what a reading has to lose that is taken so much later. */
  const toGo = (laterMs: number, milliamps: readonly number[]): { at: number; toGoMa: number } => {
    const [answer = ""] = runner.ask([`to-go ${laterMs} ${milliamps.map((value) => Math.round(value)).join(" ")}`]);
    const [at = -1, toGoMa = 0] = answer.split(" ").map(Number);
    return { at, toGoMa };
  };

  it.each([
    [2_000, 60, 6],
    [2_000, 100, 6],
    [2_000, 160, 6],
    [2_000, 300, 6],
    [400, 60, 6],
    [400, 160, 6],
    [8_000, 160, 0.2],
    [1_000, 80, -0.9],
  ])(
    "foresees where a current ends at %i mA with a time constant of %i ms, and reads it within half a percent or 4 mA",
    (end, tau, above) => {
      const laterMs = 21;
      const current = (ms: number) => end * (1 + above * Math.exp(-ms / tau));
      const course = Array.from({ length: 400 }, (_, window) => current(10 * window));
      const { at, toGoMa } = toGo(laterMs, course);
      expect(at).toBeGreaterThan(14);
      const read = current(10 * at + laterMs + 5) - toGoMa;
      expect(Math.abs(read - end)).toBeLessThanOrEqual(Math.max(4, 0.005 * end));
      // It does not wait for the end itself: the time of a filament is that until it is within 1 %.
      const own = course.findLastIndex((milliamps) => Math.abs(milliamps - end) > 0.01 * end);
      expect(at).toBeLessThanOrEqual(Math.max(22, 1.15 * own));
    },
  );

  it("takes nothing off a current that is flat, and is not taken in by noise", () => {
    expect(toGo(20, [2900, 2000, 2004, 2003, 2005, 2004])).toEqual({ at: 5, toGoMa: 0 });
    const noise = fc.sample(fc.array(fc.integer({ min: -2, max: 2 }), { minLength: 120, maxLength: 120 }), {
      numRuns: 200,
      seed: 11,
    });
    for (const steps of noise) {
      const { at, toGoMa } = toGo(
        20,
        steps.map((step, window) => (window < 9 ? 900 - 30 * window : 600 + step)),
      );
      expect(at).toBeGreaterThan(0);
      expect(Math.abs(toGoMa)).toBeLessThanOrEqual(5);
    }
  });

  it("waits for a load that sets in late", () => {
    const late = Array.from({ length: 60 }, (_, at) => (at < 4 ? 50 : 900));
    expect(settling(late).indexOf(true)).toBe(23);
  });

  it("does not call a flashing load settled", () => {
    expect(settling(Array.from({ length: 120 }, (_, at) => (at % 3 === 0 ? 900 : 0)))).not.toContain(true);
  });
});
