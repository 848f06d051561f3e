import type { Part } from "../../circuit/network.js";
import { kindOf } from "../../circuit/part-kinds.js";
import { placePhrase } from "../words/fault-phrase.js";
import { type Candidate, type CheckKind, softened } from "./check-kind.js";

/** A sound contact, splice or ground loses less than this at lamp current, volts (workshop practice, from memory: 0.1 V each). */
const allowedDropVolts = 0.15;

/** Series places by the parts that stand for them; the wire's own loss grows with its length. */
const placeOfPart = (id: string): string => id.replace(/^contact:/, "pin:").replace(/^far-contact:/, "far:");

/** The voltage across one contact, splice or ground while a pin is driven: the voltage-drop test of every workshop. */
export const measureDrop: CheckKind = {
  key: "drop",
  effortMinutes: 4,
  propose: ({ candidates, drivablePins, conditions }) => {
    const parts = candidates[0]?.vehicle.built.parts ?? [];
    const { plan } = conditions;
    return drivablePins.flatMap((pin) => {
      const lamps = plan.kind === "install" ? (plan.circuits.find((one) => one.pin === pin)?.feeds ?? []) : [];
      const sockets = lamps.map(({ to }) => `socket-ground:${to.split(".")[0]}`);
      const far = plan.kind === "cable" ? plan.conductors.find(({ near }) => near === pin)?.far : undefined;
      const ground = candidates[0]?.vehicle.built.groundPin ?? "";
      const wanted = parts
        .map(({ id }) => id)
        .filter(
          (id) =>
            [
              `contact:${pin}`,
              `wire:${pin}`,
              `far-contact:${far}`,
              `contact:${ground}`,
              `wire:${ground}`,
              "ground-bond",
              ...sockets,
            ].includes(id) || id.startsWith(`feed:${pin}/`),
        );
      return [...new Set(wanted)].map((id) => ({ drop: placeOfPart(id), while: pin }));
    });
  },
  outcomes: () => [
    { answer: "little", text: `less than ${allowedDropVolts} V beyond what its length explains` },
    { answer: "much", text: "more" },
  ],
  chances: ({ drop, while: pin }, candidate, { candidates }) => {
    const volts = dropOf(drop ?? "", pin ?? "", candidate);
    // What the first candidate without a fault there loses is what the length explains.
    const sound = Math.min(
      ...candidates.map((other) => dropOf(drop ?? "", pin ?? "", other) ?? Number.POSITIVE_INFINITY),
    );
    if (volts === undefined) return undefined;
    return softened(volts > sound + allowedDropVolts ? 1 : 0, 2);
  },
  text: ({ drop, while: pin }, { conditions }) =>
    `Drive ${pin} and measure the voltage from one side to the other of ${placePhrase(conditions.plan, drop ?? "")}: is it more than ${allowedDropVolts} V?`,
};

const known = new WeakMap<Candidate, Map<string, number | undefined>>();

function dropOf(place: string, pin: string, candidate: Candidate): number | undefined {
  const drops = known.get(candidate) ?? new Map<string, number | undefined>();
  known.set(candidate, drops);
  const key = `${place} ${pin}`;
  if (!drops.has(key)) drops.set(key, measuredDrop(place, pin, candidate));
  return drops.get(key);
}

function measuredDrop(place: string, pin: string, { driven, vehicle }: Candidate): number | undefined {
  const point = driven(pin);
  const part = vehicle.parts.get(place.replace(/^pin:/, "contact:").replace(/^far:/, "far-contact:"));
  if (point === undefined || part === undefined) return undefined;
  const end = vehicle.parts.get(`${part.id}/2`) ?? part;
  return Math.abs((point.voltsOf(endsOf(part)[0]) ?? 0) - (point.voltsOf(endsOf(end)[1]) ?? 0));
}

function endsOf(part: Part): readonly [string, string] {
  return kindOf(part).nodes(part);
}
