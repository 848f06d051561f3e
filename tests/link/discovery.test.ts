import { sealLine } from "@pinwalk/firmware-protocol/line-seal.js";
import { BenchError } from "@pinwalk/host/bench/bench-error.js";
import { findBenches } from "@pinwalk/host/bench/discovery.js";
import { openSerialPort } from "@pinwalk/host/bench/serial-port.js";
import { describe, expect, it } from "vitest";
import { ManualClock } from "./manual-clock.js";
import { ScriptedBench } from "./scripted-bench.js";

describe("looking for benches", () => {
  it("tells a bench from what is none, busy, of another version, or not to be opened", async () => {
    const clock = new ManualClock();
    const bench = new ScriptedBench(clock);
    const dumb = new ScriptedBench(clock);
    dumb.onRequest = () => "ignored";
    const older = new ScriptedBench(clock);
    older.onRequest = (request) => {
      older.say(sealLine(`=${request.tag.toString(16).toUpperCase().padStart(2, "0")} hello 9 9.0.0 bench-09`));
      return "ignored";
    };
    const ports: Record<string, ScriptedBench> = { "/dev/a": bench, "/dev/b": dumb, "/dev/c": older };
    const openPort = async (path: string) => {
      const port = ports[path];
      if (port) return port;
      if (path === "/dev/busy") throw new BenchError({ code: "port-busy", path });
      throw new Error("the driver is out of order");
    };
    const paths = ["/dev/a", "/dev/b", "/dev/c", "/dev/busy", "/dev/odd"];
    const found = await clock.until(findBenches({ paths, openPort }));
    expect(found.map(({ kind, path }) => [path, kind])).toEqual([
      ["/dev/a", "bench"],
      ["/dev/b", "not-a-bench"],
      ["/dev/c", "other-protocol"],
      ["/dev/busy", "busy"],
      ["/dev/odd", "cannot-open"],
    ]);
    expect(found[0]).toMatchObject({ identity: { serial: "bench-01" } });
    expect(found[2]).toMatchObject({ protocol: 9, message: expect.stringContaining("version 9") });
    expect(found[4]).toMatchObject({ message: expect.stringContaining("out of order") });
    expect([bench, dumb, older].map((port) => port.closedBy?.kind)).toEqual(["asked", "asked", "asked"]);
  });

  it("gives no error where the machine has no ports or cannot list them", async () => {
    expect(await findBenches({ openPort: async (path) => Promise.reject(new Error(path)) })).toBeInstanceOf(Array);
  });
});

describe("opening a serial port", () => {
  it("says which path is not there", async () => {
    await expect(openSerialPort("/dev/no-such-port", { baud: 250_000 })).rejects.toMatchObject({
      code: "cannot-open",
      message: expect.stringContaining("/dev/no-such-port"),
    });
  });

  it("refuses what is no serial port", async () => {
    await expect(openSerialPort("/dev/null", { baud: 250_000 })).rejects.toMatchObject({ code: "cannot-open" });
  });
});
