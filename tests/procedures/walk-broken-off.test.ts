import { hexOf, sealLine } from "@pinwalk/firmware-protocol/line-seal.js";
import { describe, expect, it } from "vitest";
import { fixturePlan, ScriptedWalk } from "./scripted-walk.js";

const plan = fixturePlan("hatchback-round-6");

describe("a walk that is cancelled", () => {
  it.each(["hello", "roles", "rest", "arm", "low", "drive", "result"] as const)(
    "while the bench does %s leaves every output off and says so",
    async (moment) => {
      const scripted = new ScriptedWalk(plan);
      const walk = scripted.start();
      scripted.bench.onRequest = ({ name }) => {
        if (name === moment) walk.cancel();
        return "answered";
      };
      const outcome = await scripted.finish();
      // Before its first answer nobody has a bench that could say it.
      expect(outcome).toMatchObject(
        moment === "hello" ? { kind: "cancelled" } : { kind: "cancelled", outputs: "confirmed-off" },
      );
      expect(scripted.outputsOff).toBe(true);
      expect(scripted.bench.closedBy).toBeDefined();
      // Nothing may come on again afterwards.
      await scripted.clock.pass(5000);
      expect(scripted.outputsOff).toBe(true);
    },
  );

  it("in mid-drive turns the output off at once, not when the drive is over", async () => {
    const scripted = new ScriptedWalk(plan);
    scripted.bench.settleMs = 9000;
    const walk = scripted.start({ driveMostMs: 10_000 });
    let cancelledAtMs = Number.NaN;
    scripted.bench.onRequest = ({ name }) => {
      if (name === "drive") {
        scripted.clock.after(200, () => {
          expect(scripted.bench.drivenChannel).toBeDefined();
          cancelledAtMs = scripted.clock.nowMs();
          walk.cancel();
        });
      }
      return "answered";
    };
    await scripted.finish();
    expect(scripted.clock.nowMs() - cancelledAtMs).toBeLessThan(100);
    expect(scripted.outputsOff).toBe(true);
  });

  it("before it has a bench opens none, or closes it again", async () => {
    const scripted = new ScriptedWalk(plan);
    const walk = scripted.start({ port: async () => scripted.bench });
    walk.cancel();
    expect(await scripted.finish()).toEqual({ kind: "cancelled" });
    expect(scripted.asked).toEqual([]);
    expect(scripted.bench.closedBy).toBeDefined();
  });

  it("by a listener that stops listening ends with every output off", async () => {
    const scripted = new ScriptedWalk(plan);
    const walk = scripted.start();
    const listening = (async () => {
      for await (const event of walk) if (event.kind === "low-current") break;
    })();
    await scripted.clock.until(listening);
    expect(scripted.outputsOff).toBe(true);
    expect((await walk.outcome).kind).toBe("cancelled");
  });
});

describe("a bench that fails in the middle", () => {
  it("by a pulled cable ends the walk as not tested, and goes off by itself", async () => {
    const scripted = new ScriptedWalk(plan);
    scripted.bench.settleMs = 3000;
    scripted.bench.onRequest = ({ name }) => {
      if (name === "drive") scripted.clock.after(100, () => scripted.bench.unplug());
      return "answered";
    };
    const outcome = await scripted.finish();
    expect(outcome).toMatchObject({ kind: "could-not-test", code: "port-lost", outputs: "silence" });
    if (outcome.kind === "could-not-test") expect(outcome.message).toContain("Plug the cable in again");
    expect(scripted.bench.drivenChannel).toBeDefined();
    await scripted.clock.pass(1100);
    expect(scripted.outputsOff).toBe(true);
  });

  it("by silence ends the walk as not tested", async () => {
    const scripted = new ScriptedWalk(plan);
    let deaf = false;
    scripted.bench.onRequest = ({ name }) => {
      deaf ||= name === "low";
      return deaf ? "ignored" : "answered";
    };
    const outcome = await scripted.finish();
    expect(outcome).toMatchObject({ kind: "could-not-test", outputs: "silence" });
    await scripted.clock.pass(1100);
    expect(scripted.outputsOff).toBe(true);
  });

  it("by resetting in mid-drive ends the walk as not tested", async () => {
    const scripted = new ScriptedWalk(plan);
    scripted.bench.settleMs = 3000;
    scripted.bench.onRequest = ({ name }) => {
      if (name === "drive") scripted.clock.after(100, () => scripted.bench.reset("brown-out"));
      return "answered";
    };
    expect(await scripted.finish()).toMatchObject({
      kind: "could-not-test",
      code: "bench-reset",
      outputs: "confirmed-off",
    });
    expect(scripted.outputsOff).toBe(true);
  });
});

describe("a bench that cannot begin", () => {
  it("because it speaks another protocol is named with both versions", async () => {
    const scripted = new ScriptedWalk(plan);
    scripted.bench.onRequest = (request) => {
      if (request.name !== "hello") return "answered";
      scripted.bench.say(sealLine(`=${hexOf(request.tag, 2)} hello 9 2.0.0 bench-01 13 8 - power`));
      return "ignored";
    };
    const outcome = await scripted.finish();
    expect(outcome).toMatchObject({ kind: "could-not-test", code: "other-protocol" });
    if (outcome.kind === "could-not-test") expect(outcome.message).toMatch(/9.*2/);
    expect(scripted.asked).not.toContain("arm");
  });

  it("because nothing answers is said to be none", async () => {
    const scripted = new ScriptedWalk(plan);
    scripted.bench.onRequest = () => "ignored";
    expect(await scripted.finish()).toMatchObject({ kind: "could-not-test", code: "not-a-bench" });
  });

  it("because its supply is low says how low, and what to do", async () => {
    const scripted = new ScriptedWalk(plan);
    scripted.bench.onRequest = (request) =>
      request.name === "arm" ? scripted.bench.refuse(request, "supply", { supply: 9400 }) : "answered";
    const outcome = await scripted.finish();
    expect(outcome).toMatchObject({ kind: "could-not-test", code: "refused-supply" });
    if (outcome.kind === "could-not-test") expect(outcome.message).toMatch(/9\.40 V.*charged 12 V battery/);
  });

  it("because a switch has failed names the pin", async () => {
    const scripted = new ScriptedWalk(plan);
    scripted.bench.onRequest = (request) =>
      request.name === "arm" ? scripted.bench.refuse(request, "stuck", { channel: 0, volts: 12_000 }) : "answered";
    const outcome = await scripted.finish();
    expect(outcome).toMatchObject({ kind: "could-not-test", code: "refused-stuck" });
    if (outcome.kind === "could-not-test") expect(outcome.message).toMatch(/That channel is pin \w+/);
    expect(scripted.outputsOff).toBe(true);
  });

  it("because a pin stands above its supply names the pin and says what to disconnect", async () => {
    const scripted = new ScriptedWalk(plan);
    scripted.bench.onRequest = (request) =>
      request.name === "arm" ? scripted.bench.refuse(request, "foreign", { channel: 0, volts: 13_900 }) : "answered";
    const outcome = await scripted.finish();
    expect(outcome).toMatchObject({ kind: "could-not-test", code: "refused-foreign" });
    if (outcome.kind !== "could-not-test") return;
    expect(outcome.message).toMatch(/13\.90 V.*That channel is pin \w+.*Disconnect what feeds it/);
    expect(scripted.outputsOff).toBe(true);
  });

  it("because its port cannot be opened says why", async () => {
    const scripted = new ScriptedWalk(plan);
    scripted.start({
      port: () => Promise.reject(Object.assign(new Error("it is not there"), { code: "cannot-open" })),
    });
    expect(await scripted.finish()).toMatchObject({
      kind: "could-not-test",
      code: "cannot-open",
    });
  });
});
