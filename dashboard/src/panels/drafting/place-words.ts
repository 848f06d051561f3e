import { socketName } from "./draft-lookup.js";
import { type Json, pathOfText, textAt, valueAt } from "./draft-paths.js";

const keyWords: Readonly<Record<string, string>> = {
  name: "name of the plan",
  nominalVolts: "system voltage",
  colourConvention: "wire colours",
  farLoadOhms: "loads in the far socket",
  senseOnly: "pins never driven",
  contactOhms: "contact",
  groundOhms: "ground of the housing",
  bondOhms: "bond",
  fuseAmps: "fuse",
  metres: "length",
  awg: "size",
  sae: "size",
  mm2: "size",
  to: "which lamp",
  isolation: "how it is joined",
  id: "short name",
};

/** Entries of lists by what they are about, as a person knows them. */
const entryWords: Readonly<Record<string, (entry: Json | undefined, number: number) => string>> = {
  circuits: (entry, number) => `circuit ${textAt(entry, ["pin"]) || number}`,
  conductors: (entry, number) => `conductor ${textAt(entry, ["near"]) || number}`,
  sockets: (entry) => socketName(entry),
  feeds: (_, number) => `lamp ${number}`,
  bright: (_, number) => `load ${number}`,
  dim: (_, number) => `load ${number}`,
  pins: (_, number) => `contact ${number}`,
  senseOnly: (_, number) => `entry ${number}`,
};

/** Anybody can name a key as an object names what it inherits. */
const own = <T>(table: Readonly<Record<string, T>>, key: string) =>
  Object.hasOwn(table, key) ? table[key] : undefined;

/** `circuits[0].wire.metres` → `circuit LT, wire, length`. */
export function placeWords(draft: Json, path: string): string {
  if (path === "") return "the plan";
  const steps = pathOfText(path);
  const words = steps.map((step, at) => {
    if (typeof step === "string")
      return typeof steps[at + 1] === "number" && own(entryWords, step) ? null : (own(keyWords, step) ?? step);
    return own(entryWords, String(steps[at - 1]))?.(valueAt(draft, steps.slice(0, at + 1)), step + 1) ?? `${step + 1}`;
  });
  return words.filter((word) => word !== null).join(", ");
}
