import type { Part } from "../../../circuit/network.js";
import { BOARD } from "../board/board-values.js";
import type { ChannelNodes, LowSource } from "./bench-connections.js";
import { SimulatedCircuit } from "./simulated-circuit.js";
import type { SimulatedVehicle } from "./simulated-vehicle.js";

/** What a person puts on the bench's connectors to test or to calibrate it, where a vehicle would be. Volts, ohms. */
export type BenchFixture =
  | { readonly kind: "nothing" }
  /** The far socket with its resistors, on the near connector. */
  | { readonly kind: "far-loads" }
  /** All near and far pins joined, and fed through 1 kΩ. */
  | { readonly kind: "calibration-plug"; readonly feedVolts: number }
  /** Between the pin of channel 0 and ground. */
  | { readonly kind: "resistor"; readonly ohms: number };

/** The build guide's far loads, and the resistor in the lead of its calibration plug. */
const farLoadOhms = 47;
const plugFeedOhms = 1000;

const ground = "ground";
const plug = "plug";
const nearNode = (channel: number): string => `near:${channel}`;

/** A fixture as the bench meets it; it has no lamps and no supply of its own to switch. */
export function fixtureOnBench(fixture: BenchFixture, lowSource: LowSource = BOARD.lowSource): SimulatedVehicle {
  const isPlug = fixture.kind === "calibration-plug";
  const all = Array.from({ length: BOARD.channels }, (_, channel) => channel);
  const nodes: ChannelNodes = {
    reference: ground,
    near: all.map((channel) => (isPlug ? plug : nearNode(channel))),
    far: all.map(() => (isPlug ? plug : undefined)),
  };
  const circuit = new SimulatedCircuit(partsOf(fixture), nodes, { probes: isPlug ? [[plug, ground]] : [], lowSource });
  return {
    side: circuit,
    lampVolts: () => ({}),
    switchOwn: () => undefined,
    playOwn: () => undefined,
    ...(isPlug ? { plugVolts: (atSeconds: number) => circuit.probeVolts(0, atSeconds) } : {}),
  };
}

function partsOf(fixture: BenchFixture): Part[] {
  switch (fixture.kind) {
    case "nothing":
      return [];
    case "far-loads":
      return Array.from({ length: BOARD.driveChannels }, (_, channel) => resistor(channel, farLoadOhms));
    case "resistor":
      return [resistor(0, fixture.ohms)];
    case "calibration-plug":
      return [
        { kind: "source", id: "plug-feed", plus: plug, minus: ground, volts: fixture.feedVolts, ohms: plugFeedOhms },
      ];
  }
}

function resistor(channel: number, ohms: number): Part {
  return { kind: "resistor", id: `load:${channel}`, a: nearNode(channel), b: ground, ohms };
}
