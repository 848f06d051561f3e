import { litChance } from "../simulation/lamp-lit.js";
import { lampName } from "../words/lamp-name.js";
import type { CheckKind } from "./check-kind.js";

/** A charge line's battery and a brake's coil stand where lamps do, but nobody can see them lit. */
const shines = (type: string): boolean => !/^(battery|coil)\b/.test(type);

/** Is this lamp lit while that pin is driven? */
export const lookAtLamp: CheckKind = {
  key: "look",
  effortMinutes: 1,
  propose: ({ candidates, drivablePins, seenPins }) => {
    const lamps = (candidates[0]?.vehicle.built.lamps ?? []).filter(({ load }) => shines(load.type));
    return drivablePins
      .filter((pin) => !seenPins.includes(pin))
      .flatMap((pin) => lamps.map((lamp) => ({ look: lamp.id, while: pin })));
  },
  outcomes: () => [
    { answer: "lit", text: "it is lit" },
    { answer: "dark", text: "it is dark" },
  ],
  chances: ({ look, while: pin }, candidate) => {
    const lamp = candidate.vehicle.built.lamps.find(({ id }) => id === look);
    const point = candidate.driven(pin ?? "");
    if (lamp === undefined || point === undefined) return undefined;
    const lit = litChance(candidate.vehicle, lamp, point);
    return [lit, 1 - lit];
  },
  text: ({ look, while: pin }, { conditions }) =>
    `Drive ${pin} and look at the ${lampName(conditions.plan, look ?? "")}: is it lit?`,
};
