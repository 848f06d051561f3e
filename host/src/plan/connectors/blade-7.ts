import { atClock, type Connector, type ConnectorPin, type FacePlace } from "./connector.js";

const page = "rverscorner.com/wiring/four.htm";
const positions = `read on ${page}`;
const upper = `${page} says 10 and 2 o'clock and draws 11 and 1; drawn here at 60° pitch as blades sit`;
const functions = `functions and RV colours ${page}; SAE colours singingwires.org ("SAE J2863 colour-coded"), agreeing with memory`;
const limit = { grade: "C", source: "tnlab.org summary of SAE J2863: signal circuits at most 5 A" } as const;
const gauge = {
  grade: "C",
  source: "singingwires.org: 12 AWG brake and power, 14 AWG lighting, 16 AWG reversing",
} as const;

const pin = (
  name: string,
  of: ConnectorPin["function"],
  use: string,
  sae: string,
  rv: string,
  place: FacePlace,
  awg: number,
  signal: boolean,
): ConnectorPin => ({
  pin: name,
  function: of,
  use,
  colours: { sae, rv },
  place,
  conductor: { system: "awg", size: awg, ...gauge },
  ...(signal ? { maxAmps: { amps: 5, ...limit } } : {}),
  grade: "C",
  source: functions,
});

export const blade7: Connector = {
  id: "blade-7",
  name: "Seven-blade (SAE J2863)",
  conventions: ["sae", "rv"],
  pins: [
    pin("TM", "tail", "tail and running lamps", "brown", "green", atClock(11, 0.7, true, upper), 14, true),
    pin("LT", "left-stop-turn", "left turn and stop", "yellow", "red", atClock(9, 0.7, true, positions), 14, true),
    pin("RT", "right-stop-turn", "right turn and stop", "green", "brown", atClock(3, 0.7, true, positions), 14, true),
    pin("GD", "ground", "ground", "white", "white", atClock(7, 0.7, true, positions), 12, false),
    pin("S", "brake", "electric brake", "blue", "blue", atClock(5, 0.7, true, positions), 12, false),
    pin("A", "charge", "12 V battery or charge line", "black", "black", atClock(1, 0.7, true, upper), 12, false),
    pin(
      "AX",
      "auxiliary",
      "auxiliary or reversing lamps (centre pin)",
      "purple",
      "yellow",
      { x: 0, y: 0, confirmed: true, words: `the centre pin: ${positions}` },
      16,
      true,
    ),
  ],
};
