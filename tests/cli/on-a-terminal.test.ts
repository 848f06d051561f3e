import { spawn, spawnSync } from "node:child_process";
import { describe, expect, it } from "vitest";
import { commandEntry, hatchback } from "./pinwalk-command.js";

/** `script` of Debian's essential bsdutils gives a command a terminal of its own. */
const scriptIsThere = spawnSync("script", ["--version"], { stdio: "ignore" }).status === 0;

/** Runs the command on a pseudo-terminal; types `answer` when `prompt` has been shown. What it shows is one stream, escape as `ESC`. */
async function onTerminal(
  args: readonly string[],
  prompt?: RegExp,
  answer = "",
): Promise<{ code: number; shown: string }> {
  const line = [process.execPath, commandEntry, ...args].map((word) => `'${word}'`).join(" ");
  const env = { ...process.env, TERM: "xterm", NO_COLOR: "" };
  const child = spawn("script", ["-qec", line, "/dev/null"], { stdio: ["pipe", "pipe", "inherit"], env });
  let shown = "";
  let answered = false;
  child.stdout.setEncoding("utf8").on("data", (text: string) => {
    shown += text;
    if (answered || !prompt?.test(shown)) return;
    answered = true;
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
});
