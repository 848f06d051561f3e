import { atClock, type Connector, type ConnectorPin, type FacePlace } from "./connector.js";

const page =
  'lighting maker\'s page "SAE J560 Standards, compiled from SAE, TMC and other sources" for circuits and colours; numbers from memory';
const gauge = { grade: "D", source: "from memory: SAE J560 / J2394 cable" } as const;
const ring = (step: number): FacePlace =>
  atClock(
    2 * step,
    0.7,
    false,
    "six contacts at 60° round centre contact 7 from memory; clock position of 1 and sense of rotation not confirmed",
  );

const pin = (
  name: string,
  of: ConnectorPin["function"],
  use: string,
  sae: string,
  awg: number,
  place: FacePlace,
): ConnectorPin => ({
  pin: name,
  function: of,
  use,
  colours: { sae },
  place,
  conductor: { system: "awg", size: awg, ...gauge },
  grade: "C",
  source: page,
});

export const round7Heavy: Connector = {
  id: "round-7-heavy",
  name: "Seven-pin heavy-duty round (SAE J560)",
  conventions: ["sae"],
  pins: [
    pin("1", "ground", "ground return", "white", 8, ring(0)),
    pin("2", "tail", "clearance, side-marker and licence lamps", "black", 12, ring(1)),
    pin("3", "left-turn", "left turn and hazard", "yellow", 12, ring(2)),
    pin("4", "stop", "stop lamps", "red", 12, ring(3)),
    pin("5", "right-turn", "right turn and hazard", "green", 12, ring(4)),
    pin("6", "tail", "tail, clearance, side-marker and identification lamps", "brown", 12, ring(5)),
    pin("7", "auxiliary", "auxiliary, or continuous power of an anti-lock system", "blue", 12, {
      x: 0,
      y: 0,
      confirmed: false,
      words: "centre contact: from memory",
    }),
  ],
};
