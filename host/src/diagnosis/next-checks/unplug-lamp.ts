import type { Circuit } from "../../plan/plan-schema.js";
import { FaultedVehicle } from "../simulation/faulted-vehicle.js";
import { lampName } from "../words/lamp-name.js";
import { type Candidate, type CheckKind, softened } from "./check-kind.js";

/** Taking one lamp out and driving the pin again: does the current fall by that lamp's share? */
export const unplugLamp: CheckKind = {
  key: "unplug",
  effortMinutes: 4,
  propose: ({ conditions, drivablePins, candidates }) => {
    const { plan } = conditions;
    if (plan.kind !== "install") return [];
    const blamed = candidates
      .filter(({ explanation }) => explanation.probability > worthTrying)
      .flatMap(({ explanation }) => explanation.faults.map(({ fault }) => fault.at));
    return plan.circuits
      .filter((circuit) => drivablePins.includes(circuit.pin) && blamed.some((at) => concerns(at, circuit)))
      .flatMap((circuit) => circuit.feeds.map(({ to }) => ({ unplug: to, drive: circuit.pin })));
  },
  outcomes: () => [
    { answer: "falls", text: "the current falls" },
    { answer: "stays", text: "it stays as it was" },
  ],
  chances: ({ unplug, drive }, candidate) => {
    const before = ampsOf(candidate, drive ?? "", undefined);
    const after = ampsOf(candidate, drive ?? "", unplug);
    if (before === undefined || after === undefined) return undefined;
    return softened(before - after > Math.max(0.03, 0.05 * before) ? 0 : 1, 2);
  },
  text: ({ unplug, drive }, { conditions }) =>
    `Take out the bulb of the ${lampName(conditions.plan, unplug ?? "")} and drive ${drive} again: does the current fall?`,
};

/** Taking bulbs out is work: only where an explanation of at least this probability blames something of the circuit. */
const worthTrying = 0.02;

function concerns(at: string, { pin, feeds }: Circuit): boolean {
  const places = at.split("+").map((place) => place.slice(place.indexOf(":") + 1));
  return places.some(
    (name) => name.split("/")[0] === pin || feeds.some(({ to }) => to === name || to.startsWith(`${name}.`)),
  );
}

const known = new WeakMap<Candidate, Map<string, number>>();

function ampsOf(candidate: Candidate, pin: string, without: string | undefined): number | undefined {
  const { vehicle } = candidate;
  const amps = known.get(candidate) ?? new Map<string, number>();
  known.set(candidate, amps);
  const key = `${pin} ${without ?? ""}`;
  const before = amps.get(key);
  if (before !== undefined) return before;
  const bare = without === undefined ? vehicle : withoutLamp(vehicle, without);
  bare.feed({ kind: "drive", pin });
  const found = bare.bench.sourceAmps();
  amps.set(key, found);
  return found;
}

function withoutLamp(vehicle: FaultedVehicle, lamp: string): FaultedVehicle {
  return new FaultedVehicle(vehicle.conditions, [
    ...vehicle.faults.filter(({ at }) => at !== `lamp:${lamp}`),
    { kind: "open", at: `lamp:${lamp}` },
  ]);
}
