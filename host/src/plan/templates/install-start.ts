import type { CircuitFunction } from "../circuit-function.js";
import type { ConnectorPin } from "../connectors/connector.js";
import type { Feed, InstallPlan, Socket } from "../plan-schema.js";
import { startCircuit, startReturn, templateConnector } from "./circuit-start.js";

interface InstallStart {
  readonly name: string;
  readonly connectorId: string;
  readonly isolation: Feed["isolation"];
  readonly sockets: readonly Socket[];
  /** Which lamps a function lights. */
  readonly lights: Readonly<Partial<Record<CircuitFunction, readonly string[]>>>;
}

/** An install plan on a connector: every pin whose function lights something gets its circuit. */
export function installStart({ name, connectorId, isolation, sockets, lights }: InstallStart): InstallPlan {
  const connector = templateConnector(connectorId);
  const convention = connector.conventions[0];
  const lit = connector.pins.filter((pin) => (lights[pin.function] ?? []).length > 0 && !doubled(connector.pins, pin));
  const circuits = lit.map((pin) => {
    const lamps = onSideOf(pin, lights[pin.function] ?? []);
    return startCircuit(
      pin,
      convention,
      lamps.map((to) => ({ to, isolation })),
    );
  });
  return {
    format: "pinwalk-plan/1",
    kind: "install",
    name,
    nominalVolts: 12,
    connector: connectorId,
    ...(connector.conventions.length > 1 && convention !== undefined ? { colourConvention: convention } : {}),
    circuits,
    sockets: [...sockets],
    ...startReturn(
      connector,
      convention,
      lit.map(({ pin }) => pin),
    ),
  };
}

const sideOf = (words: string): "left" | "right" | undefined =>
  /\b(left|right)\b/i.exec(words)?.[0] as "left" | "right" | undefined;

/** Where a connector has one pin a side for the same function, each lights the lamps of its own side. */
function onSideOf(pin: ConnectorPin, lamps: readonly string[]): readonly string[] {
  const side = sideOf(pin.use);
  const own = lamps.filter((lamp) => sideOf(lamp.replaceAll("-", " ")) === side);
  return side === undefined || own.length === 0 ? lamps : own;
}

/** A further pin of the same function and no side of its own: one circuit is enough, the last one's. */
function doubled(pins: readonly ConnectorPin[], pin: ConnectorPin): boolean {
  const alike = pins.filter((one) => one.function === pin.function);
  return sideOf(pin.use) === undefined && alike.at(-1) !== pin;
}
