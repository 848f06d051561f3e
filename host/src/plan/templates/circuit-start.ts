import type { ColourConvention, Connector, ConnectorPin } from "../connectors/connector.js";
import { connectorById } from "../connectors.js";
import type { Circuit, Feed, InstallPlan, WireRun } from "../plan-schema.js";

/** Lengths of a car-sized vehicle from its front to the first lamp, metres (common practice, no source). */
const trunkMetres = 6;
/** The same, from side to side. */
export const acrossMetres = 1.8;
/** The ground wire finds bare metal close to the connector (common practice, no source). */
const groundMetres = 0.6;

/** The connector of that id. Throws for an id that is not in the library: a template offers none of those. */
export function templateConnector(id: string): Connector {
  const connector = connectorById(id);
  if (connector === undefined) throw new RangeError(`no connector "${id}" in the library`);
  return connector;
}

/** Thinner wire loses too much over a vehicle's length (common practice, no source). */
const thinnestAwg = 16;

/** The wire that usually goes to a pin: the size that its connector asks for, but not thinner than AWG 16. */
export function startWire(pin: ConnectorPin, convention: ColourConvention | undefined, metres = trunkMetres): WireRun {
  const { system, size } = pin.conductor ?? { system: "awg", size: 16 };
  // Of "black or red" the first.
  const colour = (convention && pin.colours[convention])?.split(" or ")[0];
  return {
    [system]: system === "awg" ? Math.min(size, thinnestAwg) : size,
    metres,
    ...(colour === undefined || colour === "none" ? {} : { colour }),
  };
}

/** Pins that no lighting plan drives: they feed the vehicle, brake it, or mean something else on every vehicle. */
export function usuallySenseOnly(connector: Connector, used: readonly string[]): string[] {
  const held = ["charge", "brake", "auxiliary"];
  return connector.pins
    .filter(({ pin, function: of }) => held.includes(of) && !used.includes(pin))
    .map(({ pin }) => pin);
}

interface Target {
  readonly to: string;
  readonly isolation: Feed["isolation"];
}

/** A circuit of a pin: the first lamp on the trunk itself, every further one over a branch across the rear. */
export function startCircuit(
  pin: ConnectorPin,
  convention: ColourConvention | undefined,
  targets: readonly Target[],
): Circuit {
  const wire = startWire(pin, convention);
  const across: WireRun = { ...wire, metres: acrossMetres };
  return {
    pin: pin.pin,
    function: pin.function,
    wire,
    feeds: targets.map((target, at): Feed => (at === 0 ? target : { ...target, wire: across })),
  };
}

/** Return wire and resting pins of an install plan on a connector. */
export function startReturn(
  connector: Connector,
  convention: ColourConvention | undefined,
  used: readonly string[],
): Pick<InstallPlan, "ground" | "senseOnly"> {
  const ground = connector.pins.find((pin) => pin.function === "ground");
  if (ground === undefined) throw new RangeError(`connector ${connector.id} has no ground pin`);
  const senseOnly = usuallySenseOnly(connector, used);
  return {
    ground: { pin: ground.pin, wire: startWire(ground, convention, groundMetres) },
    ...(senseOnly.length === 0 ? {} : { senseOnly }),
  };
}
