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

  it("calls a steady current settled after five windows, at any size", () => {
    expect(runner.ask(["settling 0 0 0 0 0", "settling 2000 2001 1999 2000 2002 2000"])).toEqual(["00001", "000011"]);
    expect(runner.ask(["settling 60000 60001 59999 60000 60000"])).toEqual(["00001"]);
  });

  it("does not call a current settled that still falls by more than a quarter of a percent in 50 ms", () => {
    expect(runner.ask(["settling 8000 7990 7980 7970 7960 7960 7960 7960"])).toEqual(["00000001"]);
    expect(runner.ask(["settling 400 398 396 394 392 390 390 390"])).toEqual(["00000001"]);
  });

  it("does not call a flashing load settled", () => {
    const [answer = ""] = runner.ask([
      `settling ${Array.from({ length: 30 }, (_, at) => (at % 3 === 0 ? 900 : 0)).join(" ")}`,
    ]);
    expect(answer).toBe("0".repeat(30));
  });
});
