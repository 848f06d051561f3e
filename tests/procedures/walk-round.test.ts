import { isAllOff } from "@pinwalk/host/bench/virtual/output-log.js";
import type { VirtualBench } from "@pinwalk/host/bench/virtual/virtual-bench.js";
import { lightablePins, WalkRound } from "@pinwalk/host/procedures/walk-round.js";
import type { WalkRoundEvent } from "@pinwalk/host/procedures/walk-round-events.js";
import { describe, expect, it } from "vitest";
import { fixturePlan } from "./scripted-walk.js";
import { judged, verdicts, walkedVehicle } from "./walked-vehicle.js";

const hatchback = fixturePlan("hatchback-round-6");

/** What a person sees: a lamp with most of its voltage. */
async function glowing(bench: VirtualBench): Promise<string[]> {
  const { lampVolts } = await bench.look();
  return Object.entries(lampVolts).flatMap(([lamp, volts]) => (volts > 6 ? [lamp] : []));
}

async function answerEverything(round: WalkRound, bench: VirtualBench): Promise<WalkRoundEvent[]> {
  const told: WalkRoundEvent[] = [];
  for await (const event of round) {
    told.push(event);
    if (event.kind === "lit") round.answer(event.step, await glowing(bench));
  }
  return told;
}

describe("a walk-round on the firmware's image", () => {
  it("lights each circuit once, and only its answers make a healthy vehicle pass", async () => {
    const { bench, base, outputs } = await walkedVehicle(hatchback);
    const round = new WalkRound({ plan: hatchback, port: bench, base });
    const told = await answerEverything(round, bench);
    expect(told.filter(({ kind }) => kind === "lit")).toHaveLength(3);
    const findings = judged(await round.outcome);
    const seen = Object.fromEntries((findings.readings.seen ?? []).map(({ pin, lit }) => [pin, lit.toSorted()]));
    expect(seen).toEqual({
      LT: ["left-rear.bright"],
      RT: ["right-rear.bright"],
      TM: ["left-rear.dim", "right-rear.dim"],
    });
    expect(findings.overall).toBe("pass");
    for (const { driveMask } of outputs) expect(driveMask & (driveMask - 1)).toBe(0);
    const last = outputs.at(-1);
    expect(last && isAllOff(last) && !last.relayClosed).toBe(true);
  });

  it("finds left and right exchanged, which no current shows", async () => {
    const { bench, base } = await walkedVehicle(hatchback, ["swap@pin:LT+pin:RT"]);
    const round = new WalkRound({ plan: hatchback, port: bench, base });
    await answerEverything(round, bench);
    const findings = judged(await round.outcome);
    expect(findings.overall).toBe("fail");
    expect(verdicts(findings)).toMatchObject({ LT: "swapped", RT: "swapped" });
  });

  it("never says which circuit is lit, and takes its order from chance", async () => {
    const orders = [(below: number) => below - 1, () => 0].map(async (random) => {
      const { bench, base } = await walkedVehicle(hatchback);
      const round = new WalkRound({ plan: hatchback, port: bench, base, random });
      const told = await answerEverything(round, bench);
      const beforeTheEnd = JSON.stringify(told.filter(({ kind }) => kind !== "ended"));
      for (const pin of ["LT", "RT", "TM"]) expect(beforeTheEnd).not.toContain(pin);
      return judged(await round.outcome).readings.seen?.map(({ pin }) => pin) ?? [];
    });
    const [last = [], first = []] = await Promise.all(orders);
    expect(last).toEqual(first.toReversed());
    expect(first).toHaveLength(3);
  });

  it("goes dark after ten seconds without a sign of life, all off, and lights the same circuit when asked", async () => {
    const { bench, base, outputs } = await walkedVehicle(hatchback);
    const round = new WalkRound({ plan: hatchback, port: bench, base });
    const lit: number[] = [];
    let dark = 0;
    let before: string[] = [];
    for await (const event of round) {
      if (event.kind === "lit") {
        lit.push(event.step);
        const now = await glowing(bench);
        if (lit.length === 1) before = now;
        if (lit.length === 2) expect(now).toEqual(before);
        if (lit.length > 1) round.answer(event.step, now);
      }
      if (event.kind !== "dark") continue;
      dark += 1;
      expect(event.why).toBe("no-sign-of-life");
      const last = outputs.at(-1);
      expect(last && isAllOff(last) && !last.relayClosed).toBe(true);
      expect(round.answer(event.step, before)).toBe(false);
      round.light();
    }
    expect([lit, dark]).toEqual([[1, 1, 2, 3], 1]);
    const hold = outputs.filter(({ driveMask }) => driveMask !== 0)[0];
    const off = outputs.find(({ atMs, driveMask }) => atMs > (hold?.atMs ?? 0) && driveMask === 0);
    expect((off?.atMs ?? 0) - (hold?.atMs ?? 0)).toBeCloseTo(10_000, -3);
  });

  it("goes dark at once when the one who looked is gone", async () => {
    const { bench, base, outputs } = await walkedVehicle(hatchback);
    const round = new WalkRound({ plan: hatchback, port: bench, base });
    const whys: string[] = [];
    for await (const event of round) {
      if (event.kind === "lit") round.leave();
      if (event.kind !== "dark") continue;
      whys.push(event.why);
      const last = outputs.at(-1);
      expect(last && isAllOff(last) && !last.relayClosed).toBe(true);
      round.cancel();
    }
    expect(whys).toEqual(["left"]);
    expect(await round.outcome).toEqual({ kind: "cancelled", outputs: "confirmed-off" });
  });

  it("lights nothing while the one who looks is gone, even if that was before the first light", async () => {
    const { bench, base, outputs } = await walkedVehicle(hatchback);
    const round = new WalkRound({ plan: hatchback, port: bench, base });
    const told: string[] = [];
    for await (const event of round) {
      told.push(event.kind);
      if (event.kind === "connecting") round.leave();
      if (event.kind === "dark") {
        expect(outputs.filter(({ driveMask, relayClosed }) => driveMask !== 0 || relayClosed)).toEqual([]);
        round.light();
      }
      if (event.kind === "lit") round.cancel();
    }
    expect(told).toEqual(["connecting", "dark", "lit", "ended"]);
  });

  it("takes no answer to a light that was answered already, and records nothing for one that is not sure", async () => {
    const { bench, base } = await walkedVehicle(hatchback);
    const round = new WalkRound({ plan: hatchback, port: bench, base });
    for await (const event of round) {
      if (event.kind !== "lit") continue;
      expect(round.answer(event.step + 1, [])).toBe(false);
      expect(round.answer(event.step, event.step === 1 ? null : [])).toBe(true);
      expect(round.answer(event.step, ["left-rear.dim"])).toBe(false);
    }
    const { readings } = judged(await round.outcome);
    expect(readings.seen?.map(({ lit }) => lit)).toEqual([[], []]);
  });

  it("has every output off when it is cancelled in mid-light", async () => {
    const { bench, base, outputs } = await walkedVehicle(hatchback);
    const round = new WalkRound({ plan: hatchback, port: bench, base });
    for await (const event of round) if (event.kind === "lit") round.cancel();
    expect(await round.outcome).toEqual({ kind: "cancelled", outputs: "confirmed-off" });
    const last = outputs.at(-1);
    expect(last && isAllOff(last) && !last.relayClosed).toBe(true);
  });

  it("leaves out a circuit that tripped when it was driven", async () => {
    const { base } = await walkedVehicle(hatchback, ["short-to-ground@wire:TM"]);
    expect(lightablePins(hatchback, base)).toEqual(["LT", "RT"]);
  });
});
