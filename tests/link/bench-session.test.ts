import { isBenchError } from "@pinwalk/host/bench/bench-error.js";
import type { BenchProblemCode } from "@pinwalk/host/bench/bench-problem.js";
import { BenchSession, type BenchSetup } from "@pinwalk/host/bench/bench-session.js";
import type { TracePoint } from "@pinwalk/host/bench/measurements.js";
import { beforeEach, describe, expect, it } from "vitest";
import { ManualClock } from "./manual-clock.js";
import { ScriptedBench } from "./scripted-bench.js";

const setup: BenchSetup = { used: 0x010f, senseOnly: 0x0008, ground: 0x0100 };

let clock: ManualClock;
let bench: ScriptedBench;

beforeEach(() => {
  clock = new ManualClock();
  bench = new ScriptedBench(clock);
});

const namesHeard = () => bench.heard.map((request) => request.name);
const codeOf = (promise: Promise<unknown>): Promise<BenchProblemCode | "no error" | "other error"> =>
  promise.then(
    () => "no error",
    (error: unknown) => (isBenchError(error) ? error.code : "other error"),
  );

async function opened(): Promise<BenchSession> {
  return await clock.until(BenchSession.open(bench));
}

async function armed(more: Partial<BenchSetup> = {}): Promise<BenchSession> {
  const session = await opened();
  await clock.until(session.configure({ ...setup, ...more }));
  await clock.until(session.arm());
  return session;
}

describe("opening a bench", () => {
  it("says who it is and leaves everything off", async () => {
    const session = await opened();
    expect(session.identity).toMatchObject({ serial: "bench-01", firmware: "1.0.0", protocol: 2, reset: "power" });
    expect(session.identity.calibratedAt).toBeUndefined();
    expect(namesHeard()).toEqual(["hello", "off"]);
    expect(session.armed).toBe(false);
  });

  it("waits for a board that resets when its port is opened and then hears nothing for two seconds", async () => {
    bench.toBench = (line) => (clock.nowMs() < 2000 ? undefined : line);
    clock.after(2000, () => bench.reset("external"));
    const session = await opened();
    expect(session.identity.serial).toBe("bench-01");
    expect(clock.nowMs()).toBeLessThan(2100);
  });

  it("says that it is not a bench when nothing answers, and frees the port", async () => {
    bench.onRequest = () => "ignored";
    const failure = BenchSession.open(bench);
    await expect(clock.until(failure)).rejects.toMatchObject({ code: "not-a-bench", problem: { heardBytes: 0 } });
    expect(bench.closedBy).toEqual({ kind: "asked" });
    await clock.pass(1100); // the bench's own silence limit
    expect(clock.waiting).toBe(0);
  });

  it("says that it is not a bench when what answers speaks otherwise", async () => {
    bench.onRequest = () => {
      bench.say(Uint8Array.from("ok\r\nerror: 20\r\n", (c) => c.charCodeAt(0)));
      return "ignored";
    };
    await expect(clock.until(BenchSession.open(bench))).rejects.toMatchObject({
      code: "not-a-bench",
      problem: { heardBytes: 150 },
      message: "What answers at scripted is not a bench.",
    });
  });
});

describe("configuring", () => {
  it("puts limits and roles in force", async () => {
    const session = await opened();
    await clock.until(session.configure({ ...setup, limits: { tripAmps: 5, supplyMinVolts: 11.5 } }));
    expect(bench.heard.find((request) => request.name === "limits")?.fields).toEqual({
      trip: 5000,
      tripTime: 100,
      supplyMin: 11_500,
      supplyMax: 16_000,
      cool: 2000,
    });
    expect(bench.heard.find((request) => request.name === "roles")?.fields).toEqual(setup);
    expect(namesHeard()).not.toContain("restart");
  });

  it("restarts the bench when marks of the job before still stick", async () => {
    const session = await opened();
    await clock.until(session.configure(setup));
    await clock.until(session.configure({ ...setup, senseOnly: 0x0004 }));
    expect(namesHeard().filter((name) => name === "restart" || name === "limits")).toEqual([
      "limits",
      "limits",
      "restart",
      "limits",
    ]);
  });

  it("restarts it although the reply to that, or the greeting, gets lost", async () => {
    for (const lost of [
      ["=", "restart"],
      ["~", "hello"],
    ] as const) {
      bench = new ScriptedBench(clock);
      const session = await opened();
      await clock.until(session.configure(setup));
      bench.toHost = (line) => {
        const text = String.fromCharCode(...line);
        return text.startsWith(lost[0]) && text.includes(lost[1]) ? undefined : line;
      };
      expect(await clock.until(codeOf(session.configure({ ...setup, senseOnly: 0x0004 })))).toBe("no error");
    }
  });

  it("fails when the bench has other roles in force than asked for, and nothing is armed", async () => {
    const session = await opened();
    bench.onRequest = (request) => {
      if (request.name !== "roles") return "answered";
      return bench.reply(request, { ...request.fields, senseOnly: 0x1fff }) && "ignored";
    };
    expect(await clock.until(codeOf(session.configure(setup)))).toBe("not-taken");
    expect(namesHeard().at(-1)).toBe("off");
  });
});

describe("measuring", () => {
  it("gives volts of all channels at rest, undefined where nothing was measured", async () => {
    bench.millivolts = [12, -3, undefined, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1500];
    const session = await opened();
    const rest = await clock.until(session.rest());
    expect(rest).toMatchObject({ supplyVolts: 12.8, measurement: 1 });
    expect(rest.volts).toEqual([0.012, -0.003, undefined, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1.5]);
    expect(rest.farVolts).toBeUndefined();
  });

  it("fetches the far side when it is plugged in", async () => {
    bench.farMillivolts = new Array(13).fill(6400);
    const session = await armed({ far: true });
    const low = await clock.until(session.low(2));
    expect(low.farVolts).toEqual(new Array(13).fill(6.4));
  });

  it("asks a lost question again, but not the one that switches something on", async () => {
    const session = await armed();
    let lost = 0;
    bench.toHost = (line) => {
      const drop = String.fromCharCode(...line).includes(" volts ") && lost++ === 0;
      return drop ? undefined : line;
    };
    expect((await clock.until(session.low(1))).volts).toHaveLength(13);
    expect(namesHeard().filter((name) => name === "low")).toHaveLength(1);
    expect(namesHeard().filter((name) => name === "volts")).toHaveLength(2);
  });
});

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

describe("leaving", () => {
  it("turns an armed bench off before the port is closed, and may be done twice", async () => {
    const session = await armed();
    await clock.until(session.close());
    await clock.until(session.close());
    expect(bench.relayClosed).toBe(false);
    expect(namesHeard().at(-1)).toBe("off");
    expect(bench.closedBy).toEqual({ kind: "asked" });
  });

  it("closes the port even when the bench does not answer any more, and leaves no timer of its own", async () => {
    const session = await armed();
    bench.onRequest = () => "ignored";
    await clock.until(session.close());
    expect(bench.closedBy).toEqual({ kind: "asked" });
    expect(session.offIsConfirmed).toBe(false);
    await clock.pass(1100);
    expect(clock.waiting).toBe(0);
    expect(bench.relayClosed).toBe(false);
  });

  it("stops speaking to a bench that is off, so that silence is what a stopped host leaves", async () => {
    const session = await armed();
    await clock.until(session.off());
    const before = bench.heard.length;
    await clock.pass(5000);
    expect(bench.heard.length).toBe(before);
  });

  it("tells who listens that the bench is lost, once", async () => {
    const session = await armed();
    const lost: string[] = [];
    session.onLost((problem) => lost.push(problem.code));
    bench.unplug();
    await clock.until(session.close());
    expect(lost).toEqual(["port-lost"]);
  });

  it("learns from the bench that it has gone off by itself", async () => {
    const session = await armed();
    bench.toBench = () => undefined; // the host's lines get lost, the bench's do not
    await clock.pass(1100);
    expect(session.armed).toBe(false);
    expect(session.offIsConfirmed).toBe(true);
  });
});

it("hears the start button", async () => {
  const session = await opened();
  let presses = 0;
  const stop = session.onButton(() => {
    presses += 1;
  });
  bench.pressButton();
  await clock.pass(5);
  stop();
  bench.pressButton();
  await clock.pass(5);
  expect(presses).toBe(1);
});

describe("a bench that tells what it measured", () => {
  const measureAll = async () => {
    const session = await armed({ far: true });
    bench.millivolts = [4, 8, 12_590];
    for (let channel = 3; channel < 13; channel += 1) bench.millivolts.push(undefined);
    bench.farMillivolts = bench.millivolts.map((one) => (one === undefined ? undefined : one - 4));
    const rest = await clock.until(session.rest());
    const low = await clock.until(session.low(2));
    const driven = await clock.until(session.drive(2, { mostMs: 4000 }));
    return [rest, low, driven];
  };

  it("is believed and not asked, and gives the same as one that is", async () => {
    bench.tells = true;
    const told = await measureAll();
    expect(namesHeard().filter((name) => name === "volts" || name === "result")).toEqual([]);
    bench = new ScriptedBench(clock);
    expect(await measureAll()).toEqual(told);
    expect(namesHeard().filter((name) => name === "volts" || name === "result")).toHaveLength(7);
  });

  it("is asked for what got lost", async () => {
    bench.tells = true;
    bench.toHost = (line) => (/^~(result|volts \d+ near)/.test(String.fromCharCode(...line)) ? undefined : line);
    await measureAll();
    const asked = bench.heard.flatMap((one) =>
      one.name === "volts" ? [one.fields.side] : one.name === "result" ? ["result"] : [],
    );
    expect(asked).toEqual(["near", "near", "result", "near"]);
  });

  it("is not believed when what it told belongs to a measurement of the same number before a reset", async () => {
    bench.tells = true;
    const session = await armed();
    bench.millivolts[5] = 11_000;
    await clock.until(session.rest());
    bench.reset("external");
    await clock.pass(10);
    bench.millivolts[5] = 0;
    bench.toHost = (line) => (String.fromCharCode(...line).startsWith("~volts") ? undefined : line);
    expect((await clock.until(session.rest())).volts[5]).toBe(0);
  });
});
