import { spawn, spawnSync } from "node:child_process";
import { describe, expect, it } from "vitest";
import { commandEntry, hatchback, scratchFile } from "./pinwalk-command.js";

/** `script` of Debian's essential bsdutils gives a command a terminal of its own. */
const scriptIsThere = spawnSync("script", ["--version"], { stdio: "ignore" }).status === 0;

/** Runs the command on a pseudo-terminal; types `answer` when `prompt` has been shown. What it shows is one stream, escape as `ESC`. */
function onTerminal(args: readonly string[], prompt?: RegExp, answer = ""): Promise<{ code: number; shown: string }> {
  return typedOnTerminal(args, prompt === undefined ? [] : [[prompt, answer]]);
}

/** The same with several prompts, one after the other; each is looked for in what was shown since the one before. */
async function typedOnTerminal(
  args: readonly string[],
  dialogue: readonly (readonly [prompt: RegExp, answer: string])[],
): Promise<{ code: number; shown: string }> {
  const line = [process.execPath, commandEntry, ...args].map((word) => `'${word}'`).join(" ");
  const env = { ...process.env, TERM: "xterm", NO_COLOR: "" };
  const child = spawn("script", ["-qec", line, "/dev/null"], { stdio: ["pipe", "pipe", "inherit"], env });
  let shown = "";
  let answered = 0;
  let seen = 0;
  child.stdout.setEncoding("utf8").on("data", (text: string) => {
    shown += text;
    const [prompt, answer = ""] = dialogue[answered] ?? [];
    if (!prompt?.test(shown.slice(seen))) return;
    answered += 1;
    seen = shown.length;
    child.stdin.write(answer);
  });
  return await new Promise((resolve, reject) => {
    child.on("error", reject);
    child.on("close", (code) => resolve({ code: code ?? -1, shown: shown.replaceAll("\u001b", "ESC") }));
  });
}

describe.skipIf(!scriptIsThere && process.env.CI !== "true")("pinwalk on a terminal (needs script)", () => {
  const real = ["walk", hatchback, "--bench", "/dev/no-such-port"];

  it("shows what it does on one line that it writes over, and colours the verdict that it also says in words", async () => {
    const { code, shown } = await onTerminal([
      "walk",
      hatchback,
      "--bench",
      "virtual",
      "--fast",
      "--fault",
      "open@pin:LT",
    ]);
    expect(code).toBe(1);
    expect(shown).toMatch(/\rESC\[2Kdriving LT \(\d of 3\)/);
    expect(shown).toContain("ESC[31mFAIL");
    expect(shown).toMatch(/^LT .*ESC\[31mopenESC\[0m/m);
  });

  it.each([
    ["no", "no\r"],
    ["Ctrl-D", "\u0004"],
    ["Ctrl-C", "\u0003"],
  ])("asks about the check list, and opens no bench after %s", async (_key, answer) => {
    const { code, shown } = await onTerminal(real, /Type yes/, answer);
    expect(code).toBe(3);
    expect(shown).toContain("Nothing was driven.");
    expect(shown).not.toContain("cannot-open");
  });

  it("goes on to the bench after yes", async () => {
    const { code, shown } = await onTerminal(real, /Type yes/, "yes\r");
    expect(code).toBe(3);
    expect(shown).toContain("cannot-open");
  });

  describe("pinwalk calibrate", () => {
    const answers = scratchFile("answers.json", {
      meter: { percent: 0.5, volts: 0.02 },
      resistors: [
        { ohms: 10, percent: 1 },
        { ohms: 4.7, percent: 1 },
      ],
      lowResistor: { ohms: 1000, percent: 1 },
    });
    const calibrate = ["calibrate", hatchback, "--bench", "virtual", "--fast", "--answers", answers];
    const supply = /1 of \d+: .*Volts: /s;

    it("asks step by step, again for what are no volts, lets what is optional be skipped, and writes nothing on a slip", async () => {
      const { code, shown } = await typedOnTerminal(calibrate, [
        [supply, "twelve\r"],
        [/Give the meter's volts.*Volts: /s, "12,8\r"],
        [/2 of \d+: .*Volts \(or skip\): /s, "skip\r"],
        [/3 of \d+: .*Volts: /s, "11\r"],
      ]);
      expect(code).toBe(3);
      expect(shown).toContain("too far apart for a bench that works");
      expect(shown).toContain("Nothing was written.");
      expect(shown).not.toMatch(/4 of \d+/);
    }, 30_000);

    it.each([
      ["Ctrl-D", "\u0004"],
      ["Ctrl-C", "\u0003"],
    ])(
      "ends with everything off at %s",
      async (_key, key) => {
        const { code, shown } = await typedOnTerminal(calibrate, [[supply, key]]);
        expect(code).toBe(3);
        expect(shown).toContain("Every output is off: the bench has said so.");
      },
      30_000,
    );
  });
});
