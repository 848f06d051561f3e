import { parsePlan } from "@pinwalk/host/plan/parse-plan.js";
import { withShopParts } from "@pinwalk/host/plan/parts/shop-parts.js";
import { describe, expect, it } from "vitest";
import { planJson, samplePlanNames } from "./sample-plans.js";

/** A sample plan with one place changed: `changed("x", (plan) => { plan.name = "" })`. */
// biome-ignore lint/suspicious/noExplicitAny: a test bends an untyped document on purpose
function problemsOf(name: string, change: (plan: any) => void): { path: string; message: string }[] {
  const plan = structuredClone(planJson(name));
  change(plan);
  const parsed = parsePlan(plan);
  return parsed.ok ? [] : [...parsed.problems];
}

const install = "hatchback-round-6";
const cable = "umbilical-blade-7-to-round-6";

describe("a plan", () => {
  it("of the repository parses", () => {
    for (const name of samplePlanNames) expect(parsePlan(planJson(name)), name).toMatchObject({ ok: true });
  });

  it("with an unknown key is refused with the key's path", () => {
    expect(problemsOf(install, (plan) => (plan.circuits[0].wire.colur = "red"))).toEqual([
      { path: "circuits[0].wire.colur", message: 'unknown key "colur"' },
    ]);
    expect(problemsOf(install, (plan) => (plan.owner = "x"))[0]?.path).toBe("owner");
    expect(problemsOf(cable, (plan) => (plan.conductors[1].gauge = 4))[0]?.path).toBe("conductors[1].gauge");
  });

  it("with an unknown key inside an alternative is refused there, not with a shrug", () => {
    const own = { diode: { saturationAmps: 1e-8, ideality: 1.6, seriesOhms: 0.02, colour: "black" } };
    const problems = problemsOf(install, (plan) => (plan.circuits[0].feeds[0].isolation = own));
    expect(problems).toEqual([
      { path: "circuits[0].feeds[0].isolation.diode.colour", message: 'unknown key "colour"' },
    ]);
  });

  it("that names a pin twice is refused, saying where it stood before", () => {
    expect(problemsOf(install, (plan) => (plan.circuits[1].pin = "LT"))).toEqual([
      { path: "circuits[1].pin", message: "pin LT is named twice (before at circuits[0].pin)" },
    ]);
    expect(problemsOf(install, (plan) => (plan.circuits[1].pin = "GD"))[0]?.message).toContain("ground.pin");
    expect(problemsOf(cable, (plan) => (plan.conductors[1].far = "LT"))[0]?.message).toContain(
      "far pin LT is named twice",
    );
  });

  it("with a socket, pin, bulb, diode, connector or wire size that does not exist is refused with what there is", () => {
    const message = (change: Parameters<typeof problemsOf>[1]): string => problemsOf(install, change)[0]?.message ?? "";
    expect(message((plan) => (plan.circuits[0].feeds[0].to = "left-front.bright"))).toContain("left-rear, right-rear");
    expect(message((plan) => (plan.circuits[0].pin = "XX"))).toContain("TM, LT, RT, GD, S, A");
    expect(message((plan) => (plan.sockets[0].bulb = "1158"))).toContain('no bulb "1158"');
    expect(message((plan) => (plan.circuits[0].feeds[0].isolation = "germanium"))).toContain("silicon-6a");
    expect(message((plan) => (plan.connector = "round-8"))).toContain("round-6");
    expect(message((plan) => (plan.circuits[0].wire.awg = 15))).toContain("no awg size 15");
    expect(message((plan) => (plan.sockets[0].bulb = "1156"))).toContain("no dim lamp");
    expect(message((plan) => (plan.sockets[1].id = "left-rear"))).toContain("two sockets");
    expect(message((plan) => (plan.senseOnly = ["GD"]))).toContain("ground pin");
  });

  it("with numbers outside physical range is refused", () => {
    expect(problemsOf(install, (plan) => (plan.circuits[0].wire.metres = -1))[0]?.path).toBe("circuits[0].wire.metres");
    expect(problemsOf(install, (plan) => (plan.nominalVolts = 400))[0]?.path).toBe("nominalVolts");
    expect(problemsOf(cable, (plan) => (plan.farLoadOhms = 0))[0]?.path).toBe("farLoadOhms");
    expect(problemsOf(install, (plan) => (plan.circuits[0].wire.mm2 = 1.5))[0]?.message).toContain("exactly one of");
    const lamps = { bright: { kind: "led", amps: 0.1, volts: 7 } };
    expect(
      problemsOf(install, (plan) => {
        delete plan.sockets[0].bulb;
        plan.sockets[0].lamps = lamps;
      })[0]?.message,
    ).toContain("above kneeVolts");
  });

  it("whose words hold control characters is refused, as a terminal would obey them", () => {
    const control = "control characters are not allowed here";
    expect(problemsOf(install, (plan) => (plan.name = "\u001b[31mred"))).toEqual([{ path: "name", message: control }]);
    expect(problemsOf(install, (plan) => (plan.sockets[0].place = "left\u0007"))[0]?.path).toBe("sockets[0].place");
    expect(problemsOf(install, (plan) => (plan.circuits[0].wire.colour = "a\nb"))[0]?.message).toBe(control);
    expect(problemsOf(install, (plan) => (plan.name = "Käfer № 3, 日本"))).toEqual([]);
  });

  it("lists all that is wrong with it at once", () => {
    const problems = problemsOf(install, (plan) => {
      plan.circuits[0].pin = "XX";
      plan.sockets[0].bulb = "1158";
    });
    expect(problems.map((problem) => problem.path)).toEqual(
      expect.arrayContaining(["circuits[0].pin", "sockets[0].bulb"]),
    );
  });

  it("that is no plan at all is refused without a throw", () => {
    for (const nonsense of [
      undefined,
      null,
      7,
      "plan",
      [],
      {},
      { kind: "install" },
      { format: "pinwalk-plan/2", kind: "cable" },
    ]) {
      expect(parsePlan(nonsense)).toMatchObject({ ok: false });
    }
  });

  it("may carry its own connector", () => {
    const problems = problemsOf(install, (plan) => {
      plan.connector = {
        id: "custom",
        pins: [
          ["LT", "left-stop-turn"],
          ["RT", "right-stop-turn"],
          ["TM", "tail"],
          ["GD", "ground"],
          ["A", "auxiliary"],
        ].map(([pin, of]) => ({ pin, function: of })),
      };
    });
    expect(problems).toEqual([]);
  });
});

describe("a shop's own parts", () => {
  const shop = {
    format: "pinwalk-parts/1",
    bulbs: [{ id: "LED-1157", nominalVolts: 12, bright: { volts: 12.8, amps: 0.4 }, dim: { volts: 12.8, amps: 0.05 } }],
    diodes: [
      {
        id: "bridge-25a",
        name: "25 A bridge",
        ratedAmps: 25,
        ratedReverseVolts: 400,
        saturationAmps: 1e-7,
        ideality: 1.8,
        seriesOhms: 0.004,
        bareWatts: 8,
      },
    ],
    wires: [
      { system: "awg", size: 22, squareMm: 0.326, milliohmsPerMetre: 52.9, amps: 7, fuseAmps: 5, source: "reel label" },
    ],
  };

  it("can be named by a plan, and say where they come from", () => {
    const made = withShopParts(shop);
    if (!made.ok) throw new Error(JSON.stringify(made.problems));
    const plan = structuredClone(planJson(install)) as { sockets: { bulb: string }[] };
    for (const socket of plan.sockets) socket.bulb = "LED-1157";
    expect(parsePlan(plan)).toMatchObject({ ok: false });
    expect(parsePlan(plan, made.library)).toMatchObject({ ok: true });
    expect(made.library.wires.at(-1)?.source).toBe("the shop's own parts file: reel label");
  });

  it("are refused with the path of what is wrong", () => {
    const made = withShopParts({ ...shop, bulbs: [{ ...shop.bulbs[0], bright: { volts: 12.8 } }] });
    expect(made).toMatchObject({ ok: false, problems: [{ path: "bulbs.0.bright.amps" }] });
  });
});
