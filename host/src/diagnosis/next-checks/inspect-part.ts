import { lampName } from "../words/lamp-name.js";
import { type Candidate, type CheckKind, softened } from "./check-kind.js";

/** Reading a bulb's number, or looking which way a diode's band points: only where an explanation blames one. */
export const inspectPart: CheckKind = {
  key: "inspect",
  effortMinutes: 3,
  propose: ({ candidates }) => {
    const places = candidates.flatMap((candidate) => blamed(candidate));
    return [...new Set(places)].map((inspect) => ({ inspect }));
  },
  outcomes: () => [
    { answer: "as planned", text: "it is as planned" },
    { answer: "otherwise", text: "it is not" },
  ],
  chances: ({ inspect }, candidate) => softened(blamed(candidate).includes(inspect ?? "") ? 1 : 0, 2),
  text: ({ inspect = "" }, { conditions: { plan } }) => {
    const [kind, place = ""] = inspect.split(":");
    if (kind === "lamp") return `Read the number on the bulb of the ${lampName(plan, place)}: is it the planned one?`;
    const [pin, lamp = place] = place.split("/");
    return kind === "feed"
      ? `Look at the diode between ${pin} and the ${lampName(plan, lamp)}: is it there, with its band towards the lamp?`
      : `Look at the vehicle-side diode of the ${lampName(plan, place)}: is it there, with its band towards the lamp?`;
  },
};

const visibleKinds = ["wrong-lamp", "diode-reversed", "diode-shorted", "factory-diode-shorted"];

function blamed({ explanation }: Candidate): string[] {
  return explanation.faults.flatMap(({ fault }) => (visibleKinds.includes(fault.kind) ? [fault.at] : []));
}
