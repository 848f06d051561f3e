import { describe, expect, it } from "vitest";
import { AskedBench, mostChannelsOn } from "./asked-bench.js";
import { steady } from "./loaded-side.js";

describe("duty 1: outputs are off", () => {
  it("from power-up until the first arming, whatever the registers held", () => {
    const bench = AskedBench.start();
    bench.run(500);
    expect(bench.machine.outputs.entries.every((entry) => !entry.relayClosed && entry.driveMask === 0)).toBe(true);
    expect(bench.machine.outputs.entries.every((entry) => entry.lowMask === 0)).toBe(true);
    expect(bench.pushNames()).toEqual(["hello"]);
  });

  it.each(["watchdog", "brown-out", "external", "power"] as const)("through a %s reset in mid-drive", (cause) => {
    const bench = AskedBench.start();
    bench.side.loads.set(0, steady(6));
    bench.arm();
    bench.drive(0, 20);
    expect(bench.machine.outputs.last.driveMask).toBe(1);
    const before = bench.nowMs;
    bench.machine.reset(cause);
    expect(bench.isOff).toBe(true);
    const { fields } = bench.await("hello", 100);
    expect(fields.reset).toBe(cause);
    expect(bench.get("status", {}).state).toBe("idle");
    bench.run(200);
    const after = bench.machine.outputs.entries.filter(({ atMs }) => atMs > before);
    expect(after.every(({ relayClosed, driveMask, lowMask }) => !relayClosed && driveMask === 0 && lowMask === 0)).toBe(
      true,
    );
  });

  it.each([
    ["of wrong form", "hello\n", "form"],
    ["with a wrong checksum", "?2A drive 3 4000*0000\n", "crc"],
    ["that is empty", "\n", "form"],
    ["that is too long", `${"x".repeat(65)}\n`, "long"],
  ] as const)("at a line %s in mid-drive", (_what, line, why) => {
    const bench = AskedBench.start();
    bench.side.loads.set(0, steady(6));
    bench.arm();
    const measurement = bench.drive(0);
    const from = bench.pushes.length;
    const arrived = bench.sendRaw(line);
    bench.run(20);
    expect(bench.offSinceMs - arrived).toBeLessThan(2);
    expect(bench.pushNames(from).filter((name) => name !== "trace")).toEqual(["ended", "off", "garbled"]);
    const ended = bench.pushes.find(({ push }) => push.name === "ended")?.push;
    expect(ended?.fields).toMatchObject({ measurement, end: "garbled" });
    const garbled = bench.pushes.at(-1)?.push;
    expect(garbled).toEqual({ kind: "push", name: "garbled", fields: { why, count: 1 } });
    expect(bench.get("status", {})).toMatchObject({ state: "idle", garbled: 1 });
    expect(bench.ask("drive", { channel: 0, most: 100 })).toMatchObject({ code: "not-armed" });
  });

  it("as soon as a line has outgrown any request, before it ends", () => {
    const bench = AskedBench.start();
    bench.arm();
    bench.drive(0);
    const arrived = bench.sendRaw("x".repeat(65));
    bench.run(5);
    expect(bench.offSinceMs - arrived).toBeLessThan(2);
  });

  it.each([
    ["drive", { channel: 1, most: 100 }, "busy"],
    ["low", { channel: 1 }, "busy"],
    ["hold", { channel: 0 }, "busy"],
    ["arm", {}, "busy"],
    ["keep", { measurement: 999 }, "stale"],
  ] as const)("when %s is refused in mid-drive", (name, fields, code) => {
    const bench = AskedBench.start();
    bench.side.loads.set(0, steady(6));
    bench.arm();
    bench.drive(0);
    expect(bench.ask(name, fields as never)).toMatchObject({ kind: "refusal", code });
    expect(bench.isOff).toBe(true);
    expect(bench.pushes.find(({ push }) => push.name === "ended")?.push.fields).toMatchObject({ end: "asked" });
  });

  it("when a request for outputs has a field out of range in mid-drive, but not when a harmless one has", () => {
    const bench = AskedBench.start();
    bench.side.loads.set(0, steady(6));
    bench.arm();
    bench.drive(0, 10);
    // ?40 drive 8 4000, ?50 result 99999: golden lines of fixtures/transcripts/refused.txt.
    bench.sendRaw("?50 result 99999*65C3\n");
    bench.run(5);
    expect(bench.machine.outputs.last.driveMask).toBe(1);
    bench.sendRaw("?40 drive 8 4000*E3DC\n");
    bench.run(5);
    expect(bench.isOff).toBe(true);
  });

  it("one second after the last valid line, and not before, in mid-hold and when only armed", () => {
    const bench = AskedBench.start();
    bench.side.loads.set(0, steady(6));
    bench.arm();
    bench.get("hold", { channel: 0 });
    bench.runTalking(1500);
    bench.ask("ping", {});
    const lastLine = bench.nowMs;
    bench.run(950);
    expect(bench.machine.outputs.last.driveMask).toBe(1);
    bench.run(100);
    expect(bench.offSinceMs - lastLine).toBeGreaterThan(990);
    expect(bench.offSinceMs - lastLine).toBeLessThanOrEqual(1001);
    expect(bench.pushes.slice(-2).map(({ push }) => push)).toMatchObject([
      { name: "ended", fields: { end: "silence" } },
      { name: "off", fields: { why: "silence", value: 1000 } },
    ]);

    bench.get("arm", {});
    const armed = bench.nowMs;
    expect(bench.await("off", 1100, false).fields.why).toBe("silence");
    expect(bench.offSinceMs - armed).toBeLessThanOrEqual(1001);
  });

  it("one second after the last valid line though half a line keeps dribbling in", () => {
    const bench = AskedBench.start();
    bench.arm();
    bench.get("hold", { channel: 0 });
    const lastLine = bench.nowMs;
    for (let i = 0; i < 55; i += 1) {
      bench.machine.send("x");
      bench.run(20);
    }
    expect(bench.offSinceMs - lastLine).toBeLessThanOrEqual(1001);
  });

  it("in the middle of the look and of a low-current check too", () => {
    const bench = AskedBench.start();
    bench.arm();
    const low = bench.send("low", { channel: 0 });
    bench.run(20);
    expect(bench.machine.outputs.last.lowMask).toBe(1);
    const off = bench.send("off", {});
    expect(bench.answerTo(low)).toMatchObject({ kind: "refusal", code: "not-armed" });
    expect(bench.answerTo(off)).toMatchObject({ kind: "reply", fields: { state: "idle" } });
    expect(bench.isOff).toBe(true);
  });
});

describe("duty 2: a live pin", () => {
  it.each(["drive", "hold", "low"] as const)("is not fed by %s, which says which and how much", (name) => {
    const bench = AskedBench.start();
    bench.side.foreign.set(3, 11.9);
    bench.arm();
    const from = bench.machine.outputs.entries.length;
    const fields = name === "drive" ? { channel: 3, most: 500 } : { channel: 3 };
    const answer = bench.ask(name, fields as never);
    expect(answer).toMatchObject({ kind: "refusal", code: "live", fields: { channel: 3 } });
    const { volts } = answer.fields as { volts: number };
    expect(Math.abs(volts - 11_900)).toBeLessThan(30);
    const since = bench.machine.outputs.entries.slice(from);
    expect(since.every(({ driveMask, lowMask }) => driveMask === 0 && lowMask === 0)).toBe(true);
    expect(bench.isOff).toBe(true);
  });

  it("that stands above the supply keeps the relay open, as its switch conducts backwards; one below does not", () => {
    const bench = AskedBench.start();
    bench.get("roles", { used: 0x7f, senseOnly: 0x20, ground: 0x40 });
    bench.side.foreign.set(3, 12.7);
    bench.get("arm", {});
    bench.get("off", {});
    bench.side.foreign.set(3, 13.4);
    const from = bench.machine.outputs.entries.length;
    const answer = bench.ask("arm", {});
    expect(answer).toMatchObject({ kind: "refusal", code: "foreign", fields: { channel: 3 } });
    expect(Math.abs((answer.fields as { volts: number }).volts - 13_400)).toBeLessThan(30);
    expect(bench.machine.outputs.entries.slice(from).some(({ relayClosed }) => relayClosed)).toBe(false);
    // Channels that are only sensed have no switch.
    bench.side.foreign.delete(3);
    bench.side.foreign.set(9, 13.4);
    bench.get("arm", {});
  });

  it("is one above 1 V; just below, it is driven", () => {
    const bench = AskedBench.start();
    bench.side.foreign.set(0, 0.95);
    bench.side.foreign.set(1, 1.05);
    bench.side.loads.set(0, steady(10));
    bench.arm();
    expect(bench.get("drive", { channel: 0, most: 300 }).measurement).toBe(1);
    bench.await("ended", 400);
    expect(bench.ask("drive", { channel: 1, most: 300 })).toMatchObject({ code: "live" });
  });

  it("is noticed though it came alive after arming", () => {
    const bench = AskedBench.start();
    bench.arm();
    bench.side.foreign.set(2, 6);
    expect(bench.ask("low", { channel: 2 })).toMatchObject({ code: "live", fields: { channel: 2 } });
  });
});

describe("duty 3: one channel, and never a marked one", () => {
  it("refuses sense-only and ground channels until the next reset, whatever roles follow", () => {
    const bench = AskedBench.start();
    bench.arm();
    const refused = (channel: number, code: string) => {
      for (const name of ["drive", "hold", "low"] as const) {
        const fields = name === "drive" ? { channel, most: 100 } : { channel };
        expect(bench.ask(name, fields as never)).toMatchObject({ kind: "refusal", code, fields: { channel } });
        bench.get("arm", {});
      }
      bench.get("off", {});
    };
    refused(5, "sense-only");
    const kept = bench.get("roles", { used: 0xff, senseOnly: 0, ground: 0 });
    expect(kept).toEqual({ used: 0xff, senseOnly: 0x20, ground: 0x40 });
    bench.get("arm", {});
    refused(6, "ground");
    bench.get("restart", {});
    expect(bench.await("hello", 500).fields.reset).toBe("restart");
    expect(bench.get("roles", { used: 0xff, senseOnly: 0, ground: 0 })).toMatchObject({ senseOnly: 0, ground: 0 });
    bench.get("arm", {});
    bench.get("low", { channel: 5 });
    const marked = bench.machine.outputs.entries.filter(
      ({ driveMask, lowMask }) => ((driveMask | lowMask) & 0x60) !== 0,
    );
    expect(marked.map(({ lowMask }) => lowMask)).toEqual([0x20]);
  });

  it("refuses what is not wired, and anything before roles and arming", () => {
    const bench = AskedBench.start();
    expect(bench.ask("arm", {})).toMatchObject({ code: "no-roles" });
    expect(bench.ask("drive", { channel: 0, most: 100 })).toMatchObject({ code: "not-armed" });
    bench.arm();
    expect(bench.ask("drive", { channel: 7, most: 100 })).toMatchObject({ code: "unused", fields: { channel: 7 } });
    expect(mostChannelsOn(bench.machine.outputs.entries)).toBe(0);
  });

  it("never has two channels on, walking over all of them", () => {
    const bench = AskedBench.start();
    bench.arm();
    for (const channel of [0, 1, 2, 3, 4]) {
      bench.side.loads.set(channel, steady(4 + channel));
      bench.get("low", { channel });
      bench.get("drive", { channel, most: 400 });
      bench.await("ended", 500);
    }
    const { entries } = bench.machine.outputs;
    expect(mostChannelsOn(entries)).toBe(1);
    expect(new Set(entries.map(({ driveMask }) => driveMask))).toEqual(new Set([0, 1, 2, 4, 8, 16]));
    expect(new Set(entries.map(({ lowMask }) => lowMask))).toEqual(new Set([0, 1, 2, 4, 8, 16]));
  });
});
