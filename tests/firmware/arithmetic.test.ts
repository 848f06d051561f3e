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

  it.each([
    [2_000, 60],
    [2_000, 160],
    [400, 60],
    [400, 160],
    [8_000, 160],
  ])(
    "calls a current that falls to %i mA with a time constant of %i ms settled within half a percent or 4 mA of its end",
    (end, tau) => {
      const fall = Array.from({ length: 250 }, (_, at) => end * (1 + 6 * Math.exp((-10 * at) / tau)));
      const at = settling(fall).indexOf(true);
      expect(at).toBeGreaterThan(19);
      expect((fall[at] ?? Number.NaN) - end).toBeLessThanOrEqual(Math.max(4, 0.005 * end));
      // And does not wait for ever: a quarter of a second earlier it was not there yet.
      expect((fall[at - 25] ?? Number.NaN) - end).toBeGreaterThan(Math.max(4, 0.005 * end));
    },
  );

  it("waits for a load that sets in late", () => {
    const late = Array.from({ length: 60 }, (_, at) => (at < 4 ? 50 : 900));
    expect(settling(late).indexOf(true)).toBe(23);
  });

  it("does not call a flashing load settled", () => {
    expect(settling(Array.from({ length: 120 }, (_, at) => (at % 3 === 0 ? 900 : 0)))).not.toContain(true);
  });
});
