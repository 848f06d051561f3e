import { BenchSession } from "@pinwalk/host/bench/bench-session.js";
import { beforeEach, describe, expect, it } from "vitest";
import {
  anotherBench,
  armed,
  bench,
  clock,
  codeOf,
  layOutBench,
  namesHeard,
  opened,
  setup,
} from "./session-with-scripted-bench.js";

beforeEach(layOutBench);

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
      anotherBench();
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

describe("asking how the bench is", () => {
  it("turns an armed bench off when it does not answer that", async () => {
    const session = await armed();
    bench.onRequest = (request) => (request.name === "status" ? "ignored" : "answered");
    await expect(clock.until(session.status())).rejects.toMatchObject({ code: "no-answer" });
    expect(session.armed).toBe(false);
    expect(bench.relayClosed).toBe(false);
    expect(namesHeard().at(-1)).toBe("off");
  });

  it("asks nothing more of a bench that is off anyway", async () => {
    const session = await opened();
    bench.onRequest = (request) => (request.name === "status" ? "ignored" : "answered");
    await expect(clock.until(session.status())).rejects.toMatchObject({ code: "no-answer" });
    expect(namesHeard().at(-1)).toBe("status");
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
    anotherBench();
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
