import type { Connector } from "./connectors/connector.js";
import { connectorOf, farConnectorOf } from "./connectors.js";
import type { Plan } from "./plan-schema.js";

export interface PinChannel {
  readonly pin: string;
  /** Place on the bench: 0–7 can be driven, 8–12 only sensed. */
  readonly channel: number;
}

/** Which pin of a plan's connectors sits on which channel of the bench. */
export interface Adapter {
  readonly near: readonly PinChannel[];
  readonly far: readonly PinChannel[];
  /** The pin that carries the tester's ground. */
  readonly groundPins: readonly string[];
  /** Pins that the plan forbids to drive. */
  readonly senseOnly: readonly string[];
  /** Pins that stand on a channel without a driver although nothing forbids driving them. */
  readonly undrivable: readonly string[];
  /** Bit per near channel, as the bench's `roles` wants them. */
  readonly usedMask: number;
  readonly senseOnlyMask: number;
  readonly groundMask: number;
}

const driveChannels = 8;
const channels = 13;

/**
 * The adapter's rule: pins that may be driven take 0–7 in the connector's order, ground pins 8–12; pins that found no
 * driver follow after the ground pins. A pin that the plan marks sense-only keeps its place and is marked in the mask.
 */
export function adapterOf(plan: Plan): Adapter {
  const connector = connectorOf(plan);
  const ground =
    plan.kind === "install" ? plan.ground.pin : (connector.pins.find((pin) => pin.function === "ground")?.pin ?? "");
  const near = placed(connector, ground);
  const farConnector = farConnectorOf(plan);
  const far = farConnector === undefined ? [] : placed(farConnector, undefined);
  const senseOnly = plan.senseOnly ?? [];
  const groundPins = [ground];
  const mask = (wanted: (pin: string) => boolean): number =>
    near.reduce((bits, { pin, channel }) => (wanted(pin) ? bits | (1 << channel) : bits), 0);
  return {
    near,
    far,
    groundPins,
    senseOnly,
    undrivable: near
      .filter(({ pin, channel }) => channel >= driveChannels && !groundPins.includes(pin) && !senseOnly.includes(pin))
      .map(({ pin }) => pin),
    usedMask: mask(() => true),
    senseOnlyMask: mask((pin) => senseOnly.includes(pin)),
    groundMask: mask((pin) => groundPins.includes(pin)),
  };
}

function placed(connector: Connector, ground: string | undefined): PinChannel[] {
  const isGround = (pin: Connector["pins"][number]): boolean => pin.function === "ground" || pin.pin === ground;
  const drivable = connector.pins.filter((pin) => !isGround(pin));
  const sensed = [...connector.pins.filter(isGround), ...drivable.slice(driveChannels)];
  if (sensed.length > channels - driveChannels) {
    throw new RangeError(`connector ${connector.id} has more pins than the bench has channels`);
  }
  return [
    ...drivable.slice(0, driveChannels).map(({ pin }, channel) => ({ pin, channel })),
    ...sensed.map(({ pin }, at) => ({ pin, channel: driveChannels + at })),
  ];
}
