import type { ColourConvention, Connector, ConnectorPin } from "../../plan/connectors/connector.js";
import { connectorById } from "../../plan/connectors.js";
import { usuallySenseOnly } from "../../plan/templates/circuit-start.js";
import type { RefitRequest } from "./drafting-contract.js";

type Loose = Readonly<Record<string, unknown>>;
type End = NonNullable<RefitRequest["end"]>;

const isObject = (value: unknown): value is Loose => typeof value === "object" && value !== null;
const listOf = (value: unknown): readonly unknown[] => (Array.isArray(value) ? value : []);

/**
 * A draft for another connector, or in another convention's colours: each circuit moves to the pin of its function, and
 * a wire that had the colour of the old pin gets the one of the new. What has no partner stays as it is, and the check
 * of the draft then says what is wrong with it.
 */
export function refitDraft({ draft, end, to, colourConvention }: RefitRequest): Loose {
  const before = draft as Loose;
  if (end !== undefined && to !== undefined) return onConnector(before, end, to);
  if (colourConvention === undefined) return before;
  const end0 = before.kind === "cable" ? "near" : "connector";
  const connector = connectorById(String(before[end0]));
  if (!connector) return { ...before, colourConvention };
  const move = mover(connector, connector, conventionOf(before, connector), colourConvention);
  return { ...moved(before, end0, move), colourConvention };
}

function onConnector(before: Loose, end: End, to: string): Loose {
  const connector = connectorById(to);
  if (!connector) return { ...before, [end]: to };
  const old = connectorById(String(before[end]));
  const from = conventionOf(before, old);
  const held = connector.conventions.find((one) => one === before.colourConvention);
  const into = held ?? connector.conventions[0];
  const { colourConvention: _before, ...rest } = moved(
    before,
    end,
    old ? mover(old, connector, from, into) : undefined,
  );
  const naming = end === "far" ? before.colourConvention : connector.conventions.length > 1 ? into : undefined;
  const used = listOf(rest.circuits).flatMap((one) => (isObject(one) && typeof one.pin === "string" ? [one.pin] : []));
  const senseOnly = end === "connector" ? usuallySenseOnly(connector, used) : undefined;
  const { senseOnly: _held, ...others } = rest;
  return {
    ...(end === "far" ? rest : others),
    [end]: to,
    ...(naming === undefined ? {} : { colourConvention: naming }),
    ...(senseOnly === undefined || senseOnly.length === 0 ? {} : { senseOnly }),
  };
}

function conventionOf(draft: Loose, connector: Connector | undefined): ColourConvention | undefined {
  return connector?.conventions.find((one) => one === draft.colourConvention) ?? connector?.conventions[0];
}

/** Where a pin goes, and its wire. */
type Move = (pin: unknown, wire: unknown) => { readonly pin: unknown; readonly wire: unknown };

function mover(
  old: Connector,
  connector: Connector,
  from: ColourConvention | undefined,
  into: ColourConvention | undefined,
): Move {
  const taken = new Set<string>();
  return (pin, wire) => {
    const was = old.pins.find((one) => one.pin === pin);
    const now = was && partner(was, old, connector, taken);
    if (!now) return { pin, wire };
    taken.add(now.pin);
    return { pin: now.pin, wire: recoloured(wire, from && was.colours[from], into && now.colours[into]) };
  };
}

function partner(was: ConnectorPin, old: Connector, connector: Connector, taken: ReadonlySet<string>) {
  if (old.id === connector.id) return was;
  const free = connector.pins.filter((one) => one.function === was.function && !taken.has(one.pin));
  return free.find((one) => one.use === was.use) ?? free[0];
}

function recoloured(wire: unknown, was: string | undefined, now: string | undefined): unknown {
  if (!isObject(wire) || typeof wire.colour !== "string" || now === undefined || now === "none") return wire;
  return was?.split(" or ").includes(wire.colour) ? { ...wire, colour: now.split(" or ")[0] } : wire;
}

function moved(draft: Loose, end: End, move: Move | undefined): Loose {
  if (!move) return draft;
  if (end !== "connector") {
    const conductors = listOf(draft.conductors).map((one) => {
      if (!isObject(one)) return one;
      const to = move(one[end], one.wire);
      return { ...one, [end]: to.pin, ...(end === "near" ? { wire: to.wire } : {}) };
    });
    return { ...draft, conductors };
  }
  const circuits = listOf(draft.circuits).map((circuit) => {
    if (!isObject(circuit)) return circuit;
    const to = move(circuit.pin, circuit.wire);
    const was = isObject(circuit.wire) ? circuit.wire.colour : undefined;
    const now = isObject(to.wire) ? to.wire.colour : undefined;
    // A jumper has the colour of its trunk.
    const feeds = listOf(circuit.feeds).map((feed) =>
      isObject(feed) && isObject(feed.wire) && feed.wire.colour === was && now !== undefined
        ? { ...feed, wire: { ...feed.wire, colour: now } }
        : feed,
    );
    return { ...circuit, ...to, feeds };
  });
  const ground = isObject(draft.ground)
    ? { ...draft.ground, ...move(draft.ground.pin, draft.ground.wire) }
    : draft.ground;
  return { ...draft, circuits, ground };
}
