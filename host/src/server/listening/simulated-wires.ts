import type { PlayedPin, Waveform } from "../../bench/virtual/vehicle/played-signal.js";
import { connectorOf } from "../../plan/connectors.js";
import type { Plan } from "../../plan/plan-schema.js";

/** A function of the simulated vehicle that a person can switch on. */
export const vehicleSwitches = [
  { name: "tail lamps" },
  { name: "brake pedal" },
  { name: "left turn" },
  { name: "right turn" },
  { name: "reversing lamps" },
  { name: "rear fog lamp" },
] as const;

type Switch = (typeof vehicleSwitches)[number]["name"];

const steady: Waveform = { kind: "steady" };
/** In the middle of what is normal. */
const flashing: Waveform = { kind: "flashing", perMinute: 84, onShare: 0.52 };
/** A flasher with a lamp out. */
const fast: Waveform = { kind: "flashing", perMinute: 168, onShare: 0.5 };
/** One filament dimmed for tail and full for stop. */
const dimmed: Waveform = { kind: "pulses", hertz: 200, duty: 0.23 };

interface SimulatedWire {
  readonly id: string;
  readonly text: string;
  readonly carries: Partial<Record<Switch, Waveform>>;
}

/** Wires that a probe can be put on. Their names do not tell what they carry. */
export const simulatedWires: readonly SimulatedWire[] = [
  { id: "w1", text: "left rear, green with yellow", carries: { "tail lamps": dimmed, "brake pedal": steady } },
  { id: "w2", text: "left rear, blue", carries: { "left turn": flashing } },
  { id: "w3", text: "left rear, yellow", carries: { "brake pedal": steady, "left turn": flashing } },
  { id: "w4", text: "right rear, brown", carries: { "tail lamps": steady } },
  { id: "w5", text: "right rear, white", carries: { "right turn": fast } },
  { id: "w6", text: "hatch, violet", carries: { "reversing lamps": steady } },
  { id: "w7", text: "hatch, black", carries: {} },
];

/** What the probe's pin gets from a wire while these are switched on. */
export function playedOnWire(wireId: string, on: readonly string[], pin: string): readonly PlayedPin[] {
  const wire = simulatedWires.find(({ id }) => id === wireId);
  return vehicleSwitches.flatMap(({ name }) => {
    const waveform = on.includes(name) ? wire?.carries[name] : undefined;
    return waveform ? [{ pin, waveform }] : [];
  });
}

/** Which switches an outlet's pin follows, by what its connector is made for. */
const outletSwitches: Readonly<Record<string, readonly Switch[]>> = {
  tail: ["tail lamps"],
  "left-stop-turn": ["brake pedal", "left turn"],
  "right-stop-turn": ["brake pedal", "right turn"],
  stop: ["brake pedal"],
  "left-turn": ["left turn"],
  "right-turn": ["right turn"],
  reverse: ["reversing lamps"],
  "rear-fog": ["rear fog lamp"],
  brake: ["brake pedal"],
};
/** On without any switch. */
const permanent = ["charge", "auxiliary"];
const poorOhms = 6;

/** What a tow vehicle's outlet carries while these are switched on. */
export function playedOnOutlet(plan: Plan, on: readonly string[], poorPin: string | null): readonly PlayedPin[] {
  return connectorOf(plan).pins.flatMap(({ pin, function: use }) => {
    const ohms = pin === poorPin ? { ohms: poorOhms } : {};
    if (permanent.includes(use)) return [{ pin, waveform: steady, ...ohms }];
    return (outletSwitches[use] ?? [])
      .filter((name) => on.includes(name))
      .map((name) => ({ pin, waveform: name.endsWith("turn") ? flashing : steady, ...ohms }));
  });
}
