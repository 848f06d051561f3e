import { encodePush, encodeReply } from "@pinwalk/firmware-protocol/bench-line.js";
import type { RequestName } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { sealLine } from "@pinwalk/firmware-protocol/line-seal.js";
import { BenchLink } from "@pinwalk/host/bench/bench-link.js";
import { beforeEach, describe, expect, it } from "vitest";
import { ManualClock } from "./manual-clock.js";
import { ScriptedBench } from "./scripted-bench.js";

let clock: ManualClock;
let bench: ScriptedBench;
let link: BenchLink;

beforeEach(() => {
  clock = new ManualClock();
  bench = new ScriptedBench(clock);
  link = new BenchLink(bench);
});

const namesHeard = () => bench.heard.map((request) => request.name);
/** Lets the first so many requests of a name go unanswered. */
const deafTo = (name: RequestName, times: number) => {
  let left = times;
  bench.onRequest = (request) => (request.name === name && left-- > 0 ? "ignored" : "answered");
};

describe("a request", () => {
  it("gets the reply that carries its tag", async () => {
    const [hello, status] = await clock.until(Promise.all([link.request("hello", {}), link.request("status", {})]));
    expect(hello.serial).toBe("bench-01");
    expect(status.supply).toBe(12_800);
    expect(link.counts).toMatchObject({ garbage: 0, late: 0 });
  });

  it("waits for the reply to the one before it", async () => {
    const waiting: RequestName[] = [];
    bench.onRequest = (request) => {
      waiting.push(request.name);
      return request.name === "hello" ? "ignored" : "answered";
    };
    const hello = link.request("hello", {}, { timeoutMs: 400, attempts: 1 }).catch(() => "given up");
    const status = link.request("status", {});
    await clock.pass(399);
    expect(waiting).toEqual(["hello"]);
    await clock.until(status);
    expect(waiting).toEqual(["hello", "status"]);
    expect(await hello).toBe("given up");
  });

  it("is understood in single bytes, in halves, and when two lines come in one piece", async () => {
    bench.cut = (line) => [...line].map((byte) => Uint8Array.of(byte));
    expect((await clock.until(link.request("ping", {}))).uptime).toBeGreaterThan(0);
    let kept = new Uint8Array();
    bench.cut = (line) => {
      const all = Uint8Array.from([...kept, ...line]);
      const half = all.length - 5;
      kept = all.slice(half);
      return [all.slice(0, half)];
    };
    const first = link.request("ping", {}, { attempts: 1 });
    await clock.pass(10);
    bench.say(sealLine("~button"));
    bench.say(sealLine("~button"));
    expect((await clock.until(first)).uptime).toBeGreaterThan(0);
    expect(link.counts.garbage).toBe(0);
  });

  it("is repeated under a new tag when the table allows it", async () => {
    deafTo("status", 2);
    await clock.until(link.request("status", {}, { timeoutMs: 200, attempts: 3 }));
    expect(namesHeard()).toEqual(["status", "status", "status"]);
    expect(new Set(bench.heard.map((request) => request.tag)).size).toBe(3);
  });

  it("fails as unanswered when all attempts were in vain, and the next one goes on", async () => {
    deafTo("status", 3);
    const failed = link.request("status", {}, { timeoutMs: 200, attempts: 3 });
    await expect(clock.until(failed)).rejects.toMatchObject({
      code: "no-answer",
      problem: { request: "status", attempts: 3, waitedMs: 600 },
    });
    expect((await clock.until(link.request("status", {}))).supply).toBe(12_800);
  });

  it.each([
    ["arm", {}],
    ["low", { channel: 1 }],
    ["drive", { channel: 1, most: 100 }],
    ["hold", { channel: 1 }],
    ["restart", {}],
  ] as const)("is never sent twice when it is %s", async (name, fields) => {
    deafTo(name, 99);
    await expect(clock.until(link.request(name, fields as never, { attempts: 5 }))).rejects.toMatchObject({
      code: "no-answer",
    });
    expect(namesHeard()).toEqual([name]);
  });

  it("is not timed while it waits for its turn", async () => {
    bench.latencyMs = 150; // 300 ms there and back, under the 500 of each, over it for two
    const all = Promise.all([link.request("status", {}), link.request("hello", {}), link.request("status", {})]);
    await clock.until(all);
    expect(namesHeard()).toEqual(["status", "hello", "status"]);
  });

  it("drops a reply that comes late and counts it", async () => {
    bench.onRequest = (request) => {
      if (bench.heard.length > 1) return "answered";
      clock.after(220, () => bench.say(encodeReply(request.tag, "ping", { uptime: 1 })));
      return "ignored";
    };
    const pong = await clock.until(link.request("ping", {}, { timeoutMs: 200 }));
    await clock.pass(100);
    expect(pong.uptime).toBeGreaterThan(1);
    expect(link.counts.late).toBe(1);
  });

  it("believes no reply with its tag and another name", async () => {
    bench.onRequest = (request) => {
      bench.say(encodeReply(request.tag, "ping", { uptime: 1 }));
      return "answered";
    };
    expect((await clock.until(link.request("status", {}))).supply).toBe(12_800);
    expect(link.counts.late).toBe(1);
  });

  it("is asked again at once when the bench says that it could not read a line", async () => {
    let spoil = true;
    bench.toBench = (line) => {
      if (!spoil) return line;
      spoil = false;
      return line.map((byte, at) => (at === 5 ? byte ^ 1 : byte));
    };
    const startMs = clock.nowMs();
    await clock.until(link.request("status", {}));
    expect(clock.nowMs() - startMs).toBeLessThan(10);
    expect(link.counts.garbledAtBench).toBe(1);
  });

  it("that may not be repeated fails when the bench could not read a line", async () => {
    bench.toBench = (line) => line.map((byte, at) => (at === 5 ? byte ^ 1 : byte));
    await expect(clock.until(link.request("drive", { channel: 2, most: 100 }))).rejects.toMatchObject({
      code: "garbled",
      problem: { request: "drive", why: "crc" },
    });
  });

  it("comes back as a refusal with its numbers and with words for a person", async () => {
    bench.onRequest = (request) => {
      bench.refuse(request, "live", { channel: 3, volts: 11_870 });
      return "ignored";
    };
    await expect(clock.until(link.request("arm", {}))).rejects.toMatchObject({
      code: "refused",
      problem: { request: "arm", refusal: { code: "live", fields: { channel: 3, volts: 11_870 } } },
      message: expect.stringContaining("11.87 V"),
    });
  });

  it("that no bench would take is an error of the caller and is not sent", async () => {
    await expect(link.request("drive", { channel: 8, most: 100 })).rejects.toThrow(RangeError);
    await clock.pass(10);
    expect(bench.heard).toEqual([]);
  });

  it("fails when too many wait already", async () => {
    deafTo("status", 99);
    const waiting = Array.from({ length: 32 }, () => link.request("status", {}).catch(() => "failed"));
    await expect(link.request("status", {})).rejects.toMatchObject({ code: "queue-full" });
    await link.close();
    expect(await Promise.all(waiting)).toEqual(new Array(32).fill("failed"));
  });
});

describe("off", () => {
  it("goes out at once although another request is unanswered", async () => {
    deafTo("low", 1);
    const low = link.request("low", { channel: 1 }).catch((error: { code: string }) => error.code);
    await clock.until(link.request("off", {}));
    expect(namesHeard()).toEqual(["low", "off"]);
    expect(await clock.until(low)).toBe("no-answer");
  });

  it("overtakes whatever waited to switch something on, which is then never sent", async () => {
    deafTo("hello", 1);
    const hello = link.request("hello", {}, { attempts: 1 }).catch((error: { code: string }) => error.code);
    const drive = link.request("drive", { channel: 1, most: 100 }).catch((error: { code: string }) => error.code);
    const volts = link.request("status", {});
    await clock.until(link.request("off", {}));
    expect(await drive).toBe("overtaken");
    await clock.until(Promise.all([hello, volts]));
    await clock.pass(2000);
    expect(namesHeard()).toEqual(["hello", "off", "status"]);
  });

  it("is never refused for a full queue", async () => {
    deafTo("status", 99);
    const waiting = Array.from({ length: 32 }, () => link.request("status", {}).catch(() => "failed"));
    expect(await clock.until(link.request("off", {}))).toEqual({ state: "idle" });
    await link.close();
    await Promise.all(waiting);
  });
});

describe("what the bench says unasked", () => {
  it("reaches every listener until it stops", async () => {
    const heard: string[] = [];
    const stop = link.onPush((push) => heard.push(push.name));
    bench.pressButton();
    await clock.pass(5);
    stop();
    bench.pressButton();
    await clock.pass(5);
    expect(heard).toEqual(["button"]);
  });

  it("may be anything: lines that cannot be read are counted and the next one is heard", async () => {
    const noise = Uint8Array.from({ length: 700 }, (_none, at) => (at * 31) % 251);
    bench.say(noise);
    bench.say(Uint8Array.of(10));
    bench.say(encodePush("button", {}).map((byte, at) => (at === 3 ? byte ^ 4 : byte)));
    expect((await clock.until(link.request("ping", {}))).uptime).toBeGreaterThan(0);
    expect(link.counts.garbage).toBeGreaterThan(2);
  });

  it("ends everything that waits when it is a greeting, as the bench has forgotten it", async () => {
    deafTo("result", 1);
    const result = link.request("result", { measurement: 1 });
    await clock.pass(5);
    bench.reset("brown-out");
    await expect(clock.until(result)).rejects.toMatchObject({ code: "bench-reset", problem: { reset: "brown-out" } });
  });

  it("is heard when it is a greeting that begins in the middle of a line, as after a reset", async () => {
    deafTo("result", 1);
    const result = link.request("result", { measurement: 1 });
    await clock.pass(5);
    bench.say(Uint8Array.from("~trace 4 120 20", (c) => c.charCodeAt(0)));
    bench.reset("brown-out");
    await expect(clock.until(result)).rejects.toMatchObject({ code: "bench-reset" });
    expect(link.counts.garbage).toBe(1);
  });

  it("makes the link end when it is the greeting of another protocol version", async () => {
    const status = link.request("status", {});
    bench.say(sealLine("~hello 7 3.1.0 bench-01 power and-more"));
    await expect(clock.until(status)).rejects.toMatchObject({
      code: "other-protocol",
      problem: { theirs: 7, ours: 2 },
    });
    expect(bench.closedBy).toEqual({ kind: "asked" });
  });
});

describe("keep-alive", () => {
  it("sends something at least every 300 ms, and nothing when it is off", async () => {
    const times: number[] = [];
    bench.onRequest = () => {
      times.push(clock.nowMs());
      return "answered";
    };
    link.setKeepAlive(true);
    await clock.pass(3000);
    const gaps = times.slice(1).map((at, index) => at - (times[index] ?? 0));
    expect(times.length).toBeGreaterThanOrEqual(9);
    expect(Math.max(...gaps)).toBeLessThanOrEqual(300);
    link.setKeepAlive(false);
    await clock.pass(10); // what is on the line already
    const before = times.length;
    await clock.pass(3000);
    expect(times.length).toBe(before);
  });

  it("does not ping where other requests go out anyway", async () => {
    link.setKeepAlive(true);
    for (let round = 0; round < 10; round += 1) {
      await clock.until(link.request("status", {}));
      await clock.pass(200);
    }
    expect(namesHeard()).not.toContain("ping");
  });

  it("takes a bench that says nothing at all any more for lost, though its line is alive", async () => {
    const ends: string[] = [];
    link.onEnded((problem) => ends.push(problem.code));
    link.setKeepAlive(true);
    bench.onRequest = () => "ignored";
    await clock.pass(1300);
    expect(ends).toEqual(["port-lost"]);
    expect(bench.closedBy).toEqual({ kind: "asked" });
    expect(clock.waiting).toBeLessThanOrEqual(1); // the bench's own silence limit
  });

  it("does not take a bench for lost that loses one line in two", async () => {
    let sent = 0;
    bench.toHost = (line) => (sent++ % 2 === 0 ? undefined : line);
    link.setKeepAlive(true);
    await clock.pass(10_000);
    expect(link.ended).toBeUndefined();
  });
});

describe("a port that is gone", () => {
  it("fails everything that waits with the same problem, tells it once, and leaves no timer", async () => {
    const ends: string[] = [];
    link.onEnded((problem) => ends.push(problem.code));
    link.setKeepAlive(true);
    bench.onRequest = () => "ignored";
    const waiting = [link.request("status", {}), link.request("ping", {}), link.request("hello", {})];
    const codes = Promise.all(waiting.map((one) => one.catch((error: { code: string }) => error.code)));
    bench.unplug();
    bench.unplug();
    expect(await codes).toEqual(["port-lost", "port-lost", "port-lost"]);
    await expect(link.request("status", {})).rejects.toMatchObject({ code: "port-lost" });
    expect(ends).toEqual(["port-lost"]);
    await clock.pass(5000);
    expect(clock.waiting).toBe(0);
  });

  it("may be closed twice", async () => {
    await link.close();
    await link.close();
    expect(link.ended).toEqual({ code: "port-closed" });
  });
});
