import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { hatchback, pinwalk, scratchFile } from "./pinwalk-command.js";

const extension = fileURLToPath(new URL("../../fixtures/plans/extension-iso-1724.json", import.meta.url));
const answers = {
  meter: { percent: 0.5, volts: 0.02 },
  resistors: [
    { ohms: 10, percent: 1 },
    { ohms: 4.7, percent: 1 },
  ],
  lowResistor: { ohms: 1000, percent: 1 },
};

describe("pinwalk selftest", () => {
  it("tests the emulated bench on a cable's far loads, and says what is open", async () => {
    const { code, out, err } = await pinwalk(
      "selftest",
      extension,
      "--bench",
      "virtual",
      "--fast",
      "--loads",
      "--json",
    );
    const { overall, items } = JSON.parse(out || err);
    expect([code, overall]).toEqual([2, "unsure"]);
    const verdict = (id: string) => items.find((item: { id: string }) => item.id === id)?.verdict;
    expect(verdict("slow-limit")).toBe("pass");
    expect(verdict("load-0")).toBe("pass");
    expect(verdict("constants")).toBe("unsure");
    expect(verdict("pins")).toBe("not-tested");
  }, 30_000);

  it("fails, and says what to look at, where there are no loads", async () => {
    const { code, out } = await pinwalk(
      "selftest",
      hatchback,
      "--bench",
      "virtual",
      "--fast",
      "--loads",
      "--fault",
      "x@y",
    );
    // `--fault` is for walks alone.
    expect([code, out]).toEqual([64, ""]);
    const bare = await pinwalk("selftest", hatchback, "--bench", "virtual", "--fast", "--bare");
    expect(bare.code).toBe(1);
    expect(bare.out).toMatch(/FAIL {8}Channel \d fed with a few milliamps/);
    expect(bare.out).toContain("Look at: ");
  }, 30_000);
});

describe("pinwalk listen", () => {
  it("hears nothing on a vehicle that is off, drives nothing, and ends with 2", async () => {
    const { code, out, err } = await pinwalk(
      "listen",
      hatchback,
      "--bench",
      "virtual",
      "--fast",
      "--pin",
      "TM",
      "--seconds",
      "1.5",
      "--json",
    );
    expect(code, err).toBe(2);
    const heard = JSON.parse(out);
    expect(heard).toMatchObject({ format: "pinwalk-listening/1", layers: [] });
    expect(heard.words[0]).toMatch(/^Nothing/);
    expect(heard.toMs).toBeGreaterThan(1200);
  }, 30_000);

  it("hears a foreign supply on a pin as steady", async () => {
    const { code, out } = await pinwalk(
      "listen",
      hatchback,
      "--bench",
      "virtual",
      "--fast",
      "--pin",
      "TM",
      "--seconds",
      "1",
      "--fault",
      "short-to-power@pin:TM",
    );
    expect(code).toBe(0);
    expect(out).toMatch(/Steady, at 1\d\.\d V/);
  }, 30_000);

  it.each([
    [["--bench", "virtual", "--channel", "3"], /needs a plan/],
    [["--bench", "/dev/null"], /Say either --pin or --channel/],
    [[hatchback, "--pin", "ZZ"], /The connector has/],
  ])("refuses %j as wrong use", async (args, words) => {
    const { code, err } = await pinwalk("listen", ...args);
    expect(code).toBe(64);
    expect(err).toMatch(words);
  });
});

describe("an emulated tow vehicle's outlet", () => {
  const played = (command: string, ...args: string[]) =>
    pinwalk(command, hatchback, "--bench", "virtual", "--fast", "--play", "LT=flashing,90,0.5", ...args);

  it("is listened to, and compared without and with the far loads", async () => {
    const [listened, compared] = await Promise.all([
      played("listen", "--pin", "LT", "--seconds", "3"),
      played("outlet", "--pin", "LT", "--pin", "TM", "--seconds", "1.6", "--json"),
    ]);
    expect(listened.code, listened.err).toBe(0);
    expect(listened.out).toMatch(/flashing 90\.\d times a minute/i);
    expect(compared.code, compared.err).toBe(2);
    const { format, pins } = JSON.parse(compared.out);
    expect(format).toBe("pinwalk-outlet/1");
    expect(pins.map(({ pin, verdict }: { pin: string; verdict: string }) => [pin, verdict])).toEqual([
      ["LT", "pass"],
      ["TM", "unsure"],
    ]);
  }, 60_000);

  it.each([
    [["listen", hatchback, "--bench", "virtual", "--pin", "LT", "--play", "LT=blinking"], /cannot be read/],
    [["listen", hatchback, "--bench", "/dev/null", "--pin", "LT", "--play", "LT=steady"], /emulated bench alone/],
    [["outlet", hatchback, "--pin", "GD"], /no pin "GD"/],
  ])("refuses %j as wrong use", async ([command = "", ...args], words) => {
    const { code, err } = await pinwalk(command, ...args);
    expect(code).toBe(64);
    expect(err).toMatch(words);
  });
});

describe("pinwalk listen without an end", () => {
  it("ends when nobody is left to end it", async () => {
    const { code, out } = await pinwalk("listen", hatchback, "--bench", "virtual", "--fast", "--pin", "TM");
    expect(code).toBe(2);
    expect(out).toMatch(/^Nothing/m);
  }, 30_000);
});

describe("pinwalk flex", () => {
  it("passes a cable that nobody moves", async () => {
    const { code, out, err } = await pinwalk(
      "flex",
      extension,
      "--bench",
      "virtual",
      "--fast",
      "--pin",
      "1",
      "--seconds",
      "1.5",
      "--json",
    );
    expect(code, err).toBe(0);
    const { conductors, thresholds } = JSON.parse(out);
    expect(thresholds).toEqual({ leastGapMs: 1, mostGaps: 0, mostSpreadOhms: 0.1 });
    expect(conductors).toHaveLength(1);
    expect(conductors[0]).toMatchObject({ pin: "1", followed: "far-volts", gapCount: 0, lostWindows: 0 });
  }, 30_000);

  it("fails a conductor that is open", async () => {
    const { code, out } = await pinwalk(
      "flex",
      extension,
      "--bench",
      "virtual",
      "--fast",
      "--pin",
      "1",
      "--seconds",
      "1",
      "--fault",
      "open@wire:1",
    );
    expect(code).toBe(1);
    expect(out).toContain("1 carries no current at all");
  }, 30_000);

  it("refuses the plan of a vehicle, and a pin that is no conductor", async () => {
    expect((await pinwalk("flex", hatchback, "--bench", "virtual")).code).toBe(64);
    const ground = await pinwalk("flex", extension, "--bench", "virtual", "--pin", "3");
    expect([ground.code, ground.err]).toEqual([64, expect.stringContaining("The conductors are 1, 2")]);
  });
});

describe("pinwalk calibrate", () => {
  it("writes nothing where the readings do not fit the bench, and ends with 3", async () => {
    const file = scratchFile("answers.json", { ...answers, readings: { supply: 12.8, joined: [11, 7] } });
    const { code, err } = await pinwalk("calibrate", extension, "--bench", "virtual", "--fast", "--answers", file);
    expect(code).toBe(3);
    expect(err).toMatch(/unlikely.*near channel 0.*Nothing was written/s);
    expect(err).toContain("Every output is off");
  }, 30_000);

  it("names what is wrong in the answers, and asks nobody who is not there", async () => {
    const wrong = await pinwalk(
      "calibrate",
      "--answers",
      scratchFile("wrong.json", { ...answers, resistors: [{ ohms: -1, percent: 1 }] }),
    );
    expect(wrong.code).toBe(64);
    expect(wrong.err).toContain("resistors");
    const silent = await pinwalk("calibrate", "--answers", scratchFile("silent.json", answers));
    expect([silent.code, silent.err]).toEqual([64, expect.stringContaining("nobody to ask")]);
  });
});
