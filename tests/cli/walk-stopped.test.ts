import { existsSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { hatchback, PinwalkCommand, pinwalk, scratchFolder } from "./pinwalk-command.js";

describe("pinwalk walk that is stopped", () => {
  it.each(["SIGINT", "SIGTERM", "SIGHUP"] as const)(
    "by %s in mid-drive: the bench confirms that everything is off, and nothing is written",
    async (signal) => {
      const folder = scratchFolder();
      const file = join(folder, "readings.json");
      writeFileSync(file, "earlier");
      const command = new PinwalkCommand([
        "walk",
        hatchback,
        "--bench",
        "virtual",
        "--progress",
        "--json",
        "--readings",
        file,
      ]);
      await command.said(/^driving LT/m);
      command.signal(signal);
      const { code, out, err } = await command.ended;
      expect(code).toBe(3);
      expect(err).toContain("Stopped before the end");
      expect(err).toContain("Every output is off: the bench has said so.");
      expect(out).toBe("");
      expect(readdirSync(folder)).toEqual(["readings.json"]);
      expect(readFileSync(file, "utf8")).toBe("earlier");
    },
  );

  it("goes on to its verdict when the reader of its output goes away", async () => {
    const command = new PinwalkCommand(["walk", hatchback, "--bench", "virtual", "--fast", "--progress"]);
    await command.said(/^connecting/m);
    command.closeStdout();
    const { code, err } = await command.ended;
    expect([0, 2], err).toContain(code);
    expect(err).not.toContain("EPIPE");
  });
});

describe("pinwalk walk on a bench that is not there", () => {
  it("ends as not tested, with what to do", async () => {
    const { code, out, err } = await pinwalk("walk", hatchback, "--bench", "/dev/no-such-port", "--checked");
    expect(code).toBe(3);
    expect(out).toBe("");
    expect(err).toContain("/dev/no-such-port");
    expect(err).toContain("pinwalk benches");
  });

  it("drives nothing real before the check list is confirmed", async () => {
    const { code, err } = await pinwalk("walk", hatchback, "--bench", "/dev/no-such-port");
    expect(code).toBe(64);
    expect(err).toContain("Nobody is under the vehicle");
    expect(err).toContain("--checked");
    expect(existsSync("/dev/no-such-port")).toBe(false);
  });
});
