import type { Part } from "../../../circuit/network.js";
import type { PreparedNetwork } from "../../../circuit/prepared-network.js";
import type { Switching } from "../board/analog-side.js";
import { BOARD, SENSE_OHMS } from "../board/board-values.js";

/** Nodes that the bench's channels sit on; undefined where a channel is not wired. Index = channel. */
export interface ChannelNodes {
  /** The bench's ground: the near connector's ground pin. */
  readonly reference: string;
  readonly near: readonly (string | undefined)[];
  readonly far: readonly (string | undefined)[];
}

/** Open voltage and resistance of the low-current channels. */
export interface LowSource {
  readonly volts: number;
  readonly ohms: number;
}

const SUPPLY_NODE = "bench:supply";
const SHUNT_NODE = "bench:shunt";
const BUS_NODE = "bench:bus";
const SUPPLY = "bench:supply-source";
const RELAY = "bench:relay";
const SHUNT = "bench:shunt";
const OPEN = Number.POSITIVE_INFINITY;

/** The bench's own side of the connector as parts of the network: supply, relay, shunt, drive and low channels, dividers. */
export function benchParts(nodes: ChannelNodes, lowSource: LowSource): Part[] {
  const { reference } = nodes;
  const { supplyOhms, relayOhms, driveSwitchOhms } = BOARD.path;
  const parts: Part[] = [
    { kind: "source", id: SUPPLY, plus: SUPPLY_NODE, minus: reference, volts: 0, ohms: supplyOhms },
    { kind: "resistor", id: RELAY, a: SUPPLY_NODE, b: SHUNT_NODE, ohms: relayOhms },
    { kind: "resistor", id: SHUNT, a: SHUNT_NODE, b: BUS_NODE, ohms: BOARD.shuntOhms },
    { kind: "resistor", id: "bench:bleed", a: BUS_NODE, b: reference, ohms: BOARD.bleedOhms },
  ];
  for (const [channel, node] of nodes.near.entries()) {
    if (node === undefined || node === reference) continue;
    parts.push({ kind: "resistor", id: `bench:sense:${channel}`, a: node, b: reference, ohms: SENSE_OHMS });
    if (channel >= BOARD.driveChannels) continue;
    const { ohms, volts } = lowSource;
    parts.push(
      { kind: "resistor", id: driveId(channel), a: BUS_NODE, b: node, ohms: driveSwitchOhms },
      { kind: "source", id: lowId(channel), plus: node, minus: reference, volts, ohms },
    );
  }
  for (const [channel, node] of nodes.far.entries()) {
    if (node === undefined || node === reference) continue;
    parts.push({ kind: "resistor", id: `bench:far-sense:${channel}`, a: node, b: reference, ohms: SENSE_OHMS });
  }
  return parts;
}

/** Sets the bench's switches in a prepared network that holds `benchParts`. */
export function setSwitches(
  network: PreparedNetwork,
  nodes: ChannelNodes,
  lowSource: LowSource,
  switching: Switching,
): void {
  network.setVolts(SUPPLY, switching.supplyVolts);
  network.setOhms(RELAY, switching.relayClosed ? BOARD.path.relayOhms : OPEN);
  for (let channel = 0; channel < BOARD.driveChannels; channel += 1) {
    const node = nodes.near[channel];
    if (node === undefined || node === nodes.reference) continue;
    const driven = ((switching.driveMask >> channel) & 1) === 1;
    const fed = ((switching.lowMask >> channel) & 1) === 1;
    network.setOhms(driveId(channel), driven ? BOARD.path.driveSwitchOhms : OPEN);
    network.setSource(lowId(channel), lowSource.volts, fed ? lowSource.ohms : OPEN);
  }
}

/** Amps through the shunt after a run. */
export function shuntAmps(network: PreparedNetwork): number {
  return network.ampsThrough(SHUNT);
}

/** Volts where the bench measures its supply, after a run. */
export function measuredSupplyVolts(network: PreparedNetwork): number {
  return network.voltsAt(SUPPLY_NODE);
}

function driveId(channel: number): string {
  return `bench:drive:${channel}`;
}

function lowId(channel: number): string {
  return `bench:low:${channel}`;
}
