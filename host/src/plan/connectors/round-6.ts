import { atClock, type Connector, type ConnectorPin, type FacePlace } from "./connector.js";

const dealers =
  "hobby and dealer wiring pages (wt4x4.com/tech/6wire.htm, circuit2wires.com) for colours; letters from memory";
const ring = (step: number): FacePlace =>
  atClock(
    (12 * step) / 5,
    0.7,
    false,
    "five contacts at 72° round the centre from memory; which letter sits where is not confirmed",
  );

const pin = (
  name: string,
  of: ConnectorPin["function"],
  use: string,
  sae: string,
  place: FacePlace,
  grade: ConnectorPin["grade"],
  source: string,
): ConnectorPin => ({ pin: name, function: of, use, colours: { sae }, place, grade, source });

/** Sources number its contacts in three ways; only the letters are safe. */
export const round6: Connector = {
  id: "round-6",
  name: "Six-way round",
  conventions: ["sae"],
  pins: [
    pin("TM", "tail", "tail and marker lamps", "brown", ring(0), "C", dealers),
    pin("LT", "left-stop-turn", "left turn and stop", "yellow", ring(1), "C", dealers),
    pin("RT", "right-stop-turn", "right turn and stop", "green", ring(2), "C", dealers),
    pin("GD", "ground", "ground", "white", ring(3), "C", "circuit2wires.com; letters from memory"),
    pin("S", "brake", "electric brake", "blue", ring(4), "C", dealers),
    pin(
      "A",
      "auxiliary",
      "12 V or reversing lamps",
      "black or red",
      { x: 0, y: 0, confirmed: true, words: "the centre contact: wt4x4.com/tech/6wire.htm and a copy" },
      "B",
      "wt4x4.com/tech/6wire.htm and a copy",
    ),
  ],
};
