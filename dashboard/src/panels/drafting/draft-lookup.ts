import type { BulbChoice, ConnectorChoiceView } from "@pinwalk/host/server/plan-drafting/drafting-contract.js";
import { computed } from "@preact/signals";
import { choices, draft } from "./draft-desk.js";
import { isObject, listAt, type Path, textAt, valueAt } from "./draft-paths.js";

export type End = "connector" | "near" | "far";

/** The pin of a connector as a choice: its name and what it is for. */
export type PinChoice = ConnectorChoiceView["pins"][number];

export function connectorNamed(id: string): ConnectorChoiceView | undefined {
  return choices.value?.connectors.find((one) => one.id === id);
}

/** The pins at one end of the draft, of the library's connector or of the plan's own. */
export function pinsAt(end: End): readonly PinChoice[] {
  const named = connectorNamed(textAt(draft.value, [end]));
  if (named) return named.pins;
  return listAt(draft.value, [end, "pins"]).flatMap((one) => {
    const pin = textAt(one, ["pin"]);
    const of = textAt(one, ["function"]);
    return pin === "" ? [] : [{ pin, function: of, use: functionText(of), colours: {}, wire: {} }];
  });
}

export function functionText(id: string): string {
  return choices.value?.functions.find((one) => one.id === id)?.words ?? id;
}

/** The convention that the draft's colours follow. */
export function convention(end: End): string {
  const named = textAt(draft.value, ["colourConvention"]);
  return named === "" ? (connectorNamed(textAt(draft.value, [end]))?.conventions[0]?.id ?? "") : named;
}

/** The first of a pin's colours under the draft's convention. */
export function usualColour(pin: PinChoice, end: End): string | undefined {
  const colour = pin.colours[convention(end)]?.split(" or ")[0];
  return colour === "none" ? undefined : colour;
}

/** Bulbs for the draft's voltage; where there are none, all. */
export const bulbs = computed<readonly BulbChoice[]>(() => {
  const all = choices.value?.bulbs ?? [];
  const fitting = all.filter(({ nominalVolts }) => nominalVolts === valueAt(draft.value, ["nominalVolts"]));
  return fitting.length > 0 ? fitting : all;
});

export function bulbNamed(id: string): BulbChoice | undefined {
  return bulbs.value.find((bulb) => bulb.id === id) ?? choices.value?.bulbs.find((bulb) => bulb.id === id);
}

export interface LampChoice {
  readonly to: string;
  readonly text: string;
}

/** Every lamp of the draft that a feed can go to. */
export const lamps = computed<readonly LampChoice[]>(() =>
  listAt(draft.value, ["sockets"]).flatMap((socket) => {
    const id = textAt(socket, ["id"]);
    const place = socketName(socket);
    const filaments = filamentsOf(socket);
    return id === ""
      ? []
      : filaments.map((filament) => ({
          to: `${id}.${filament}`,
          text: filaments.length > 1 ? `${place}, ${filament}` : place,
        }));
  }),
);

export function socketName(socket: Parameters<typeof textAt>[0]): string {
  return textAt(socket, ["place"]) || textAt(socket, ["id"]).replaceAll("-", " ") || "lamp without a name";
}

/** `bright`, and `dim` where bulb or lamps have it. */
export function filamentsOf(socket: Parameters<typeof textAt>[0]): readonly ("bright" | "dim")[] {
  const own = valueAt(socket, ["lamps"]);
  if (isObject(own)) return (["bright", "dim"] as const).filter((filament) => own[filament] !== undefined);
  return bulbNamed(textAt(socket, ["bulb"]))?.hasDim ? ["bright", "dim"] : ["bright"];
}

/** The lamps that no circuit feeds yet. */
export function unfedLamps(): readonly LampChoice[] {
  const fed = new Set(
    listAt(draft.value, ["circuits"]).flatMap((circuit) =>
      listAt(circuit, ["feeds"]).map((feed) => textAt(feed, ["to"])),
    ),
  );
  return lamps.value.filter(({ to }) => !fed.has(to));
}

/** What is wrong below a place, by number. */
export const below = (path: string, at: string) =>
  at === path || at.startsWith(`${path}.`) || at.startsWith(`${path}[`);

export const pathOf = (...steps: Path) => steps;
