/** Faults that can happen to a plan, drawn at random: first the kind, then the place. Made cases state them as their truth. */
export function madeFaults(plan, random, howMany) {
  const faults = [];
  for (let attempt = 0; faults.length < howMany && attempt < 50; attempt++) {
    const fault = plan.kind === "install" ? installFault(plan, random) : cableFault(plan, random);
    if (fault && !faults.some((other) => other.at === fault.at || (other.kind === "swap" && fault.kind === "swap")))
      faults.push(fault);
  }
  return faults;
}

const ohms = (random) => Math.round(100 * Math.exp(random.between(Math.log(0.8), Math.log(4)))) / 100;
const joint = (a, b) => [a, b].sort().join("+");

function two(list, random) {
  const first = random.pick(list);
  return joint(first, random.pick(list.filter((other) => other !== first)));
}

function installFault(plan, random) {
  const pins = plan.circuits.map((circuit) => circuit.pin);
  const feeds = plan.circuits.flatMap((circuit) =>
    circuit.feeds.map((feed) => ({ place: `${circuit.pin}/${feed.to}`, ...feed })),
  );
  const lamps = feeds.map((feed) => feed.to);
  const isolated = feeds.filter((feed) => feed.isolation !== "none");
  const kind = random.pick([
    "open",
    "open",
    "open",
    "high-resistance",
    "high-resistance",
    "short-to-ground",
    "short-to-power",
    "bridge",
    "swap",
    "diode-shorted",
    "diode-reversed",
    "factory-diode-shorted",
    "wrong-lamp",
  ]);
  const seriesPlaces = [
    `pin:${random.pick(pins)}`,
    `wire:${random.pick(pins)}`,
    `feed:${random.pick(feeds).place}`,
    `socket-ground:${random.pick(plan.sockets).id}`,
    random.pick(["ground-bond", `pin:${plan.ground.pin}`, `wire:${plan.ground.pin}`]),
  ];
  switch (kind) {
    case "open":
      return { kind, at: random.pick([...seriesPlaces, `lamp:${random.pick(lamps)}`, `lamp:${random.pick(lamps)}`]) };
    case "high-resistance":
      return { kind, at: random.pick(seriesPlaces), ohms: ohms(random) };
    case "short-to-ground":
      return { kind, at: random.pick([`wire:${random.pick(pins)}`, `lamp-feed:${random.pick(lamps)}`]) };
    case "short-to-power":
      return { kind, at: `pin:${random.pick(pins)}` };
    case "bridge":
      return {
        kind,
        at:
          random.uniform() < 0.6
            ? two(
                pins.map((pin) => `wire:${pin}`),
                random,
              )
            : two(
                [...new Set(lamps)].map((lamp) => `lamp-feed:${lamp}`),
                random,
              ),
      };
    case "swap":
      return {
        kind,
        at: two(
          pins.map((pin) => `pin:${pin}`),
          random,
        ),
      };
    case "wrong-lamp": {
      const lamp = random.pick(lamps);
      const socket = plan.sockets.find((one) => one.id === lamp.split(".")[0]);
      if (socket.bulb === undefined) return undefined;
      return {
        kind,
        at: `lamp:${lamp}`,
        instead: lamp.endsWith("dim") || socket.place.includes("side") ? "1156" : random.pick(["194", "67"]),
      };
    }
    default:
      if (isolated.length === 0) return undefined;
      return kind === "factory-diode-shorted"
        ? { kind, at: `lamp-feed:${random.pick(isolated).to}` }
        : { kind, at: `feed:${random.pick(isolated).place}` };
  }
}

function cableFault(plan, random) {
  const pins = plan.conductors.map(({ near }) => near).filter((pin) => pin !== "GD");
  const all = [...pins, "GD"];
  const kind = random.pick(["open", "open", "high-resistance", "high-resistance", "short-to-ground", "bridge", "swap"]);
  const end = () => random.pick(["pin", "far", "wire"]);
  switch (kind) {
    case "open":
      return { kind, at: `${end()}:${random.pick(all)}` };
    case "high-resistance":
      return { kind, at: `${end()}:${random.pick(all)}`, ohms: ohms(random) };
    case "short-to-ground":
      return { kind, at: `wire:${random.pick(pins)}` };
    case "bridge":
      return {
        kind,
        at: two(
          pins.map((pin) => `wire:${pin}`),
          random,
        ),
      };
    default:
      return {
        kind,
        at: two(
          pins.map((pin) => `${random.pick(["pin", "far"])}:${pin}`).map((place) => place.replace(/^.*:/, "far:")),
          random,
        ),
      };
  }
}
