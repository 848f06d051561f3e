import type { ColourConvention, Connector } from "../connectors/connector.js";
import type { Remark } from "./remark.js";

/** A wire at a pin, as both kinds of plan have it. */
export interface ColouredWire {
  readonly pin: string;
  readonly colour: string | undefined;
}

/** One colour may be told in alternatives: "black or red". */
function means(told: string | undefined, colour: string): boolean {
  return told?.split(" or ").includes(colour) ?? false;
}

/**
 * Wire colours against the connector's conventions. On the seven-way connector green, brown, yellow and red mean
 * different circuits in the two conventions, so a job that mixes them cannot be read by its colours.
 */
export function colours(
  connector: Connector,
  named: ColourConvention | undefined,
  wires: readonly ColouredWire[],
): Remark[] {
  const { conventions } = connector;
  if (conventions.length === 0) return [];
  const remarks: Remark[] = [];
  const fitting = new Map<ColourConvention, string[]>();
  for (const { pin, colour } of wires) {
    const own = connector.pins.find((one) => one.pin === pin);
    if (own === undefined || colour === undefined) continue;
    const fits = conventions.filter((convention) => means(own.colours[convention], colour));
    const only = fits[0];
    if (only !== undefined && fits.length < conventions.length) fitting.set(only, [...(fitting.get(only) ?? []), pin]);
  }
  if (fitting.size > 1) {
    const told = [...fitting]
      .map(([convention, pins]) => `${pins.join(", ")} by ${conventionName[convention]}`)
      .join("; ");
    const text = `The wire colours mix two conventions: ${told}.`;
    remarks.push({ code: "colours-mixed", severity: "warning", text, source: sourceOf(connector), where: "plan" });
  }
  const leading = [...fitting].sort((a, b) => b[1].length - a[1].length)[0]?.[0];
  const convention = named ?? leading ?? conventions[0];
  if (convention === undefined) return remarks;
  for (const { pin, colour } of wires) {
    const own = connector.pins.find((one) => one.pin === pin);
    const asked = own?.colours[convention];
    if (colour === undefined || asked === undefined || means(asked, colour)) continue;
    const other = connector.pins.find((one) => means(one.colours[convention], colour));
    const where = `wire:${pin}`;
    if (other !== undefined) {
      const text = `The ${colour} wire on pin ${pin} would be taken for pin ${other.pin} (${other.use}); by ${conventionName[convention]} it should be ${asked}.`;
      remarks.push({ code: "colour-of-another", severity: "warning", text, source: other.source, where });
    } else {
      const text = `The wire on pin ${pin} is ${colour}; by ${conventionName[convention]} it would be ${asked}.`;
      remarks.push({
        code: "colour-differs",
        severity: "note",
        text,
        source: own?.source ?? sourceOf(connector),
        where,
      });
    }
  }
  if (named !== undefined && !conventions.includes(named)) {
    const text = `The plan names ${conventionName[named]}, which connector ${connector.id} does not know.`;
    remarks.push({ code: "convention-unknown", severity: "note", text, source: sourceOf(connector), where: "plan" });
  }
  return remarks;
}

/** What a convention is called in a sentence. */
export const conventionName: Readonly<Record<ColourConvention, string>> = {
  sae: "the traditional trailer colours",
  rv: "the motorhome industry's colours",
  iso: "the ISO colours",
};

function sourceOf(connector: Connector): string {
  return connector.pins[0]?.source ?? connector.name;
}
