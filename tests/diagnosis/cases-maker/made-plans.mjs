/** Plans of many shapes for made cases: connectors, lamps, isolation, shared pins. Wire lengths and lamps vary with the seed. */

const bigTwoFilament = ["1157", "2057", "3157", "3057", "1034", "P21/5W"];
const bigOneFilament = ["1156", "3156", "P21W", "1141"];
const smallOneFilament = ["194", "168", "R5W", "W5W", "67"];

export function madePlan(random) {
  const shape = random.pick(["shared", "shared", "separate", "amber", "led", "cable", "four"]);
  return shape === "cable" ? madeCable(random) : madeInstall(random, shape);
}

function madeInstall(random, shape) {
  const bulb = random.pick(bigTwoFilament);
  const isolation = random.pick(["silicon-6a", "silicon-6a", "schottky-10a", shape === "four" ? "none" : "silicon-6a"]);
  const length = random.between(3, 9);
  const wire = (extra = 0) => ({ awg: random.pick([14, 16, 16, 18]), metres: round(length + extra), colour: "red" });
  const jumper = { awg: 16, metres: round(random.between(1, 2.5)), colour: "red" };
  const feed = (to, branch) => ({ to, isolation, ...(branch ? { wire: jumper } : {}) });
  const plan = {
    format: "pinwalk-plan/1",
    kind: "install",
    name: `made ${shape}`,
    nominalVolts: 12,
    connector: "round-6",
    circuits: [],
    sockets: [],
    ground: { pin: "GD", wire: { awg: random.pick([14, 16]), metres: round(random.between(0.4, 3)), colour: "white" } },
  };
  const factory = random.uniform() < 0.5 ? { factory: { bright: [{ bulb: "3157", filament: "bright" }] } } : {};
  if (shape === "shared" || shape === "four") {
    plan.connector = shape === "four" ? "flat-4" : random.pick(["round-6", "blade-7"]);
    if (shape === "four") {
      Object.assign(plan.ground, { pin: "1" });
    }
    const [tail, left, right] = shape === "four" ? ["2", "3", "4"] : ["TM", "LT", "RT"];
    plan.sockets.push(
      { id: "left-rear", place: "left rear", bulb, ...factory },
      { id: "right-rear", place: "right rear", bulb, ...factory },
    );
    plan.circuits.push(
      { pin: left, function: "left-stop-turn", wire: wire(), feeds: [feed("left-rear.bright")] },
      { pin: right, function: "right-stop-turn", wire: wire(2), feeds: [feed("right-rear.bright")] },
    );
    const tails = [feed("left-rear.dim"), feed("right-rear.dim", true)];
    if (random.uniform() < 0.4) {
      plan.sockets.push({ id: "licence", place: "rear middle", bulb: random.pick(smallOneFilament) });
      tails.push(feed("licence.bright", true));
    }
    plan.circuits.push({ pin: tail, function: "tail", wire: wire(), feeds: tails });
    if (shape === "shared" && random.uniform() < 0.4) {
      plan.sockets.push({ id: "reverse", place: "rear middle", bulb: random.pick(bigOneFilament) });
      plan.circuits.push({
        pin: plan.connector === "blade-7" ? "AX" : "A",
        function: plan.connector === "blade-7" ? "reverse" : "auxiliary",
        wire: wire(1),
        feeds: [feed("reverse.bright")],
      });
    }
  } else if (shape === "separate") {
    plan.connector = "iso-1724";
    plan.ground.pin = "3";
    const turn = random.pick(["P21W", "P21W", "1156"]);
    const tailBulb = random.pick(["R5W", "W5W"]);
    for (const side of ["left", "right"]) {
      plan.sockets.push(
        { id: `${side}-turn`, place: `${side} rear`, bulb: turn },
        { id: `${side}-rear`, place: `${side} rear`, bulb: "P21/5W" },
      );
    }
    plan.sockets.push({ id: "licence", place: "rear middle", bulb: tailBulb });
    plan.circuits.push(
      { pin: "1", function: "left-turn", wire: wire(), feeds: [feed("left-turn.bright")] },
      { pin: "4", function: "right-turn", wire: wire(), feeds: [feed("right-turn.bright")] },
      { pin: "5", function: "tail", wire: wire(), feeds: [feed("right-rear.dim"), feed("licence.bright", true)] },
      { pin: "6", function: "stop", wire: wire(), feeds: [feed("left-rear.bright"), feed("right-rear.bright", true)] },
      { pin: "7", function: "tail", wire: wire(), feeds: [feed("left-rear.dim")] },
    );
    if (random.uniform() < 0.5) {
      plan.sockets.push({ id: "fog", place: "left rear", bulb: "P21W" });
      plan.circuits.push({ pin: "2", function: "rear-fog", wire: wire(), feeds: [feed("fog.bright")] });
    }
  } else if (shape === "amber") {
    plan.connector = "blade-7";
    for (const side of ["left", "right"]) {
      plan.sockets.push(
        { id: `${side}-rear`, place: `${side} rear`, bulb, ...factory },
        { id: `${side}-marker`, place: `${side} side`, bulb: random.pick(smallOneFilament) },
      );
    }
    plan.circuits.push(
      { pin: "LT", function: "left-stop-turn", wire: wire(), feeds: [feed("left-rear.bright")] },
      { pin: "RT", function: "right-stop-turn", wire: wire(2), feeds: [feed("right-rear.bright")] },
      {
        pin: "TM",
        function: "tail",
        wire: wire(),
        feeds: [
          feed("left-rear.dim"),
          feed("right-rear.dim", true),
          feed("left-marker.bright", true),
          feed("right-marker.bright", true),
        ],
      },
    );
  } else {
    const led = (amps, knee = 8) => ({
      kind: "led",
      amps: round(amps),
      volts: 12.8,
      kneeVolts: knee,
      ...(random.uniform() < 0.3 ? { regulated: true } : {}),
    });
    const lamps = { dim: led(random.between(0.04, 0.1)), bright: led(random.between(0.25, 0.45)) };
    plan.sockets.push({ id: "left-rear", place: "left rear", lamps }, { id: "right-rear", place: "right rear", lamps });
    plan.circuits.push(
      { pin: "LT", function: "left-stop-turn", wire: wire(), feeds: [feed("left-rear.bright")] },
      { pin: "RT", function: "right-stop-turn", wire: wire(2), feeds: [feed("right-rear.bright")] },
      { pin: "TM", function: "tail", wire: wire(), feeds: [feed("left-rear.dim"), feed("right-rear.dim", true)] },
    );
  }
  return plan;
}

function madeCable(random) {
  const metres = round(random.between(1.5, 6));
  const near = random.pick(["blade-7", "round-6"]);
  const pins = ["LT", "RT", "TM", "S", ...(random.uniform() < 0.7 ? ["A"] : [])];
  const conductors = pins.map((pin) => ({
    near: pin,
    far: pin,
    wire: { awg: pin === "S" || pin === "A" ? 12 : 14, metres, colour: "red" },
  }));
  conductors.push({ near: "GD", far: "GD", wire: { awg: 12, metres, colour: "white" } });
  return {
    format: "pinwalk-plan/1",
    kind: "cable",
    name: "made cable",
    nominalVolts: 12,
    near,
    far: "round-6",
    conductors,
    farLoadOhms: 47,
  };
}

function round(value) {
  return Math.round(value * 100) / 100;
}
