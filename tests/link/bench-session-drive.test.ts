import type { TracePoint } from "@pinwalk/host/bench/measurements.js";
import { beforeEach, describe, expect, it } from "vitest";
import { armed, bench, clock, codeOf, layOutBench, namesHeard } from "./session-with-scripted-bench.js";

beforeEach(layOutBench);

describe("a drive", () => {
  it("gives amps, volts, peak and settling time, and the trace as it goes", async () => {
    bench.millivolts[2] = 12_590;
    const session = await armed();
    const traces: TracePoint[] = [];
    clock.after(20, () => bench.trace(20, 9000, 12_100));
    const driven = await clock.until(session.drive(2, { mostMs: 4000, onTrace: (point) => traces.push(point) }));
    expect(driven).toMatchObject({ end: "settled", amps: 2.03, peakAmps: 17, settleMs: 40, supplyVolts: 12.59 });
    expect(driven.volts[2]).toBe(12.59);
    expect(traces).toEqual([{ atMs: 20, amps: 9, volts: 12.1 }]);
    expect(session.armed).toBe(true);
  });

  it("is over when its time is up", async () => {
    bench.settleMs = 99_999;
    const session = await armed();
    expect((await clock.until(session.drive(2, { mostMs: 1000 }))).end).toBe("time");
  });

  it("does not hang when the line that says that it is over gets lost", async () => {
    const session = await armed();
    bench.toHost = (line) => (String.fromCharCode(...line).startsWith("~ended") ? undefined : line);
    const startMs = clock.nowMs();
    expect((await clock.until(session.drive(2, { mostMs: 4000 }))).end).toBe("settled");
    expect(clock.nowMs() - startMs).toBeLessThan(700);
  });

  it("hears the end that arrives in one piece with the reply", async () => {
    bench.settleMs = 0;
    const session = await armed();
    const startMs = clock.nowMs();
    await clock.until(session.drive(2, { mostMs: 4000 }));
    expect(clock.nowMs() - startMs).toBeLessThan(20);
  });

  it.each(["slow-trip", "fast-trip", "supply"] as const)(
    "that ends in %s is a reading, and the bench is off",
    async (end) => {
      const session = await armed();
      clock.after(15, () => bench.endDrive(end));
      expect((await clock.until(session.drive(2, { mostMs: 4000 }))).end).toBe(end);
      expect(session.armed).toBe(false);
      expect(session.offIsConfirmed).toBe(true);
    },
  );

  it("keeps the bench from falling silent however long it takes", async () => {
    bench.settleMs = 9000;
    const session = await armed();
    expect((await clock.until(session.drive(2, { mostMs: 10_000 }))).end).toBe("settled");
  });

  it("that never ends is given up, and everything is turned off", async () => {
    const session = await armed();
    bench.settleMs = 60_000;
    bench.onRequest = (request) => {
      if (request.name !== "result") return "answered";
      bench.refuse(request, "busy", {});
      return "ignored";
    };
    expect(await clock.until(codeOf(session.drive(2, { mostMs: 1000 })))).toBe("no-end");
    expect(bench.relayClosed).toBe(false);
    expect(bench.drivenChannel).toBeUndefined();
  });

  it.each(["drive", "arm", "low"] as const)("or any %s that is refused is followed by off", async (name) => {
    const session = await armed();
    bench.onRequest = (request) => {
      if (request.name !== name) return "answered";
      bench.refuse(request, "supply", { supply: 9100 });
      return "ignored";
    };
    const work = {
      drive: () => session.drive(1, { mostMs: 100 }),
      arm: () => session.arm(),
      low: () => session.low(1),
    };
    expect(await clock.until(codeOf(work[name]()))).toBe("refused");
    expect(namesHeard().at(-1)).toBe("off");
    expect(session.armed).toBe(false);
    expect(session.offIsConfirmed).toBe(true);
  });

  it("whose reply gets lost is not repeated: everything goes off", async () => {
    const session = await armed();
    bench.toHost = (line) => (String.fromCharCode(...line).includes(" drive ") ? undefined : line);
    bench.settleMs = 8000;
    expect(await clock.until(codeOf(session.drive(2, { mostMs: 10_000 })))).toBe("no-answer");
    expect(namesHeard().filter((name) => name === "drive")).toHaveLength(1);
    expect(bench.drivenChannel).toBeUndefined();
  });

  it("whose line is garbled on its way leaves everything off", async () => {
    const session = await armed();
    bench.toBench = (line) =>
      String.fromCharCode(...line).includes(" drive ") ? line.map((byte, at) => (at === 10 ? byte ^ 1 : byte)) : line;
    expect(await clock.until(codeOf(session.drive(2, { mostMs: 1000 })))).toBe("garbled");
    expect(bench.relayClosed).toBe(false);
  });

  it("ends with the error of the port when the cable is pulled, and the bench turns off within 1.1 s", async () => {
    const session = await armed();
    bench.settleMs = 9000;
    const driven = codeOf(session.drive(2, { mostMs: 10_000 }));
    await clock.pass(200);
    expect(bench.drivenChannel).toBe(2);
    bench.unplug();
    expect(await clock.until(driven)).toBe("port-lost");
    expect(session.offIsConfirmed).toBe(false);
    await clock.pass(1100);
    expect(bench.drivenChannel).toBeUndefined();
    expect(bench.relayClosed).toBe(false);
  });

  it("ends with bench-reset when the bench starts anew in the middle of it", async () => {
    const session = await armed();
    bench.settleMs = 9000;
    const driven = codeOf(session.drive(2, { mostMs: 10_000 }));
    await clock.pass(200);
    bench.reset("watchdog");
    expect(await clock.until(driven)).toBe("bench-reset");
    expect(session.armed).toBe(false);
  });

  it("ends with bench-reset even when the greeting gets lost", async () => {
    const session = await armed();
    bench.settleMs = 9000;
    const driven = codeOf(session.drive(2, { mostMs: 10_000 }));
    await clock.pass(200);
    bench.toHost = (line) => (String.fromCharCode(...line).startsWith("~hello") ? undefined : line);
    bench.reset("watchdog");
    expect(await clock.until(driven)).toBe("bench-reset");
  });

  it("ends as asked when off comes in the middle of it", async () => {
    const session = await armed();
    bench.settleMs = 9000;
    const driven = session.drive(2, { mostMs: 10_000 });
    await clock.pass(200);
    await clock.until(session.off());
    expect(bench.relayClosed).toBe(false);
    expect((await clock.until(driven)).end).toBe("asked");
    expect(session.armed).toBe(false);
  });
});

describe("a held lamp", () => {
  it("stays lit while it is kept and ends with off", async () => {
    const session = await armed();
    const hold = await clock.until(session.hold(4));
    for (let round = 0; round < 5; round += 1) {
      await clock.pass(5000);
      await clock.until(session.keep());
    }
    expect(bench.drivenChannel).toBe(4);
    await clock.until(session.off());
    expect((await clock.until(hold.ended)).end).toBe("asked");
    expect(bench.drivenChannel).toBeUndefined();
  });

  it("is no longer kept once it has ended", async () => {
    const session = await armed();
    const hold = await clock.until(session.hold(4));
    bench.endDrive("unkept");
    expect((await clock.until(hold.ended)).end).toBe("unkept");
    await clock.until(session.keep().then(() => clock.nowMs()));
    expect(namesHeard()).not.toContain("keep");
  });
});
