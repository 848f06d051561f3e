import { simulatedVehicle } from "@pinwalk/host/bench/virtual/vehicle/simulated-vehicle.js";
import { expectedLoads } from "@pinwalk/host/plan/expected.js";
import { describe, expect, it } from "vitest";
import { hatchback, umbilical } from "./sample-plans.js";
import { ToldBench } from "./told-bench.js";

describe("the firmware on the emulated bench with a simulated vehicle", () => {
  it("greets after power-up and again, with the cause, after each reset", () => {
    const told = new ToldBench(hatchback);
    expect(told.said).toMatch(/~hello 2 \S+ \S+ power\*/);
    for (const cause of ["external", "brown-out", "watchdog"] as const) {
      told.said = "";
      told.bench.reset(cause);
      told.pass(50);
      expect(told.said).toMatch(new RegExp(`~hello 2 \\S+ \\S+ ${cause}\\*`));
    }
  });

  it("measures the settled current that the plan leads one to expect, within its band", () => {
    const told = new ToldBench(hatchback);
    told.arm();
    for (const { pin, low, high } of expectedLoads(hatchback, { sourceVolts: 12.8 })) {
      if (pin === "S" || pin === "A") continue;
      const { end, amps } = told.drive(pin);
      expect([pin, end]).toEqual([pin, "settled"]);
      expect([pin, amps > low && amps < high]).toEqual([pin, true]);
    }
  });

  it("lets a cold lamp's inrush pass: several times the settled current, gone within half a second", () => {
    const told = new ToldBench(hatchback);
    told.arm();
    const { amps, peakAmps, settleMs } = told.drive("LT");
    expect(peakAmps).toBeGreaterThan(5 * amps);
    expect(peakAmps).toBeLessThan(30);
    expect(settleMs).toBeGreaterThan(100);
    expect(settleMs).toBeLessThan(1000);
  });

  it("shows the driven pin alone as live, and its lamps alone as lit", () => {
    const told = new ToldBench(hatchback);
    told.arm();
    told.ask(`hold ${told.channelOf("TM")}`);
    told.pass(900);
    const lit = Object.entries(told.vehicle.lampVolts(told.bench.nowMs / 1000)).flatMap(([lamp, volts]) =>
      volts > 6 ? [lamp] : [],
    );
    expect(lit).toEqual(["left-rear.dim", "right-rear.dim"]);
    expect(told.bench.outputs.last.driveMask).toBe(1 << told.channelOf("TM"));
  });

  it("is off within microseconds on a dead short, and says so", () => {
    const told = new ToldBench(hatchback, [{ kind: "short-to-ground", at: "wire:LT", ohms: 0.001 }]);
    told.arm();
    expect(told.drive("LT").end).toBe("fast-trip");
    const on = told.bench.outputs.entries.findIndex(({ driveMask }) => driveMask !== 0);
    const off = told.bench.outputs.entries[on + 1];
    expect(off).toMatchObject({ driveMask: 0, limitTripped: true });
    expect((off?.atMs ?? 1) - (told.bench.outputs.entries[on]?.atMs ?? 0)).toBeLessThan(0.005);
  });

  it("meets a fault that appears in mid-drive", () => {
    const told = new ToldBench(hatchback);
    told.arm();
    told.ask(`hold ${told.channelOf("LT")}`);
    told.pass(500);
    expect(told.bench.outputs.last.driveMask).not.toBe(0);
    const shorted = simulatedVehicle(hatchback, [{ kind: "short-to-ground", at: "wire:LT", ohms: 0 }], 20);
    told.bench.plugIn(shorted.side);
    told.pass(200);
    expect(told.bench.outputs.last).toMatchObject({ driveMask: 0, relayClosed: false });
    expect(told.said).toMatch(/~ended \d+ (fast|slow)-trip/);
  });

  it("sees a drive channel that failed conducting as it arms, and opens the relay again", () => {
    const told = new ToldBench(hatchback);
    told.bench.setStuckChannels(1 << told.channelOf("RT"));
    expect(told.arm()).toMatch(new RegExp(`^!stuck ${told.channelOf("RT")} 1\\d{4}$`));
    told.pass(50);
    expect(told.bench.outputs.last).toMatchObject({ relayClosed: false, driveMask: 0 });
  });

  it("notices a supply that sags out of its window in mid-drive", () => {
    const told = new ToldBench(hatchback);
    told.arm();
    told.ask(`hold ${told.channelOf("LT")}`);
    told.pass(500);
    told.bench.setSupply(8);
    told.pass(300);
    expect(told.bench.outputs.last.driveMask).toBe(0);
    expect(told.said).toMatch(/~ended \d+ supply/);
  });

  it("finds nothing on the connector of an isolated vehicle whose own lamps are on, and finds them through a shorted diode", () => {
    const restWith = (faults: ConstructorParameters<typeof ToldBench>[1]) => {
      const told = new ToldBench(hatchback, faults);
      told.vehicle.switchOwn(["left-stop-turn"], told.bench.nowMs / 1000);
      // Their filaments warm up.
      told.pass(300);
      const [, , id] = told.ask("rest").split(/[= ]/);
      return told.volts(Number(id), "near")[told.channelOf("LT")] ?? 0;
    };
    expect(Math.abs(restWith([]))).toBeLessThan(0.3);
    expect(restWith([{ kind: "diode-shorted", at: "feed:LT/left-rear.bright" }])).toBeGreaterThan(10);
  });

  it("reads the room's temperature", () => {
    const told = new ToldBench(hatchback, [], { ambientC: 31 });
    const [, , , tenths] = told.ask("status").split(/[= ]/).slice(1);
    expect(Number(tenths) / 10).toBeCloseTo(31, 0);
  });

  it("announces the start button once per press", () => {
    const told = new ToldBench(hatchback);
    told.bench.pressStart(true);
    told.pass(300);
    told.bench.pressStart(false);
    told.pass(100);
    expect(told.said.match(/~button\*/g)?.length).toBe(1);
  });
});

describe("the firmware on the emulated bench with a simulated cable", () => {
  it("drives each conductor into its far load and reads the far end of that conductor alone", () => {
    const told = new ToldBench(umbilical);
    told.arm();
    const { end, amps } = told.drive("LT");
    expect(end).toBe("settled");
    expect(amps).toBeCloseTo(12.8 / 47.2, 1);
    const far = told.volts(1, "far");
    const place = told.adapter.far.find(({ pin }) => pin === "LT")?.channel;
    const live = far.flatMap((volts, channel) => (volts !== undefined && volts > 1 ? [channel] : []));
    expect(live).toEqual([place]);
    expect(far[place ?? -1]).toBeGreaterThan(12.3);
  });

  it("shows two swapped far wires on each other's places", () => {
    const told = new ToldBench(umbilical, [{ kind: "swap", at: "far:LT+far:RT" }]);
    told.arm();
    told.drive("LT");
    const far = told.volts(1, "far");
    const place = told.adapter.far.find(({ pin }) => pin === "RT")?.channel;
    expect(far[place ?? -1]).toBeGreaterThan(12);
  });
});

describe("two runs of the emulated bench", () => {
  const run = (seed: number) => {
    const told = new ToldBench(hatchback, [], { seed });
    told.arm();
    told.drive("LT");
    told.ask("status");
    return { said: told.said, cycles: told.bench.cycles, outputs: told.bench.outputs.entries };
  };

  it("with the same seed give the same bytes, cycles and switching moments", () => {
    expect(run(3)).toEqual(run(3));
  });

  it("with other seeds differ in their noise", () => {
    expect(run(3).said).not.toBe(run(4).said);
  });
});
