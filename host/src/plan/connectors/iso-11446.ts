import { atClock, type Connector, type ConnectorPin, type FacePlace } from "./connector.js";

const table = 'Wikipedia "ISO standards for trailer connectors" and "ISO 11446", and two connector makers\' tables';
const words = "eight outer and five inner contacts from memory; which number sits where is not confirmed";
const place = (pin: number): FacePlace =>
  pin <= 8 ? atClock((12 * (pin - 1)) / 8, 0.8, false, words) : atClock((12 * (pin - 9)) / 5, 0.4, false, words);

type Row = readonly [number, ConnectorPin["function"], string, string, number | undefined];
const rows: readonly Row[] = [
  [1, "left-turn", "left indicator", "yellow", 1.5],
  [2, "rear-fog", "rear fog lamp", "blue", 1.5],
  [3, "ground", "return for 1 to 8", "white", 2.5],
  [4, "right-turn", "right indicator", "green", 1.5],
  [5, "tail", "right tail, side and licence lamps", "brown", 1.5],
  [6, "stop", "stop lamps", "red", 1.5],
  [7, "tail", "left tail, side and licence lamps", "black", 1.5],
  [8, "reverse", "reversing lamps", "pink", 1.5],
  [9, "charge", "permanent 12 V", "orange", 2.5],
  [10, "auxiliary", "switched 12 V", "grey", 2.5],
  [11, "ground", "return for 10", "white/black", 2.5],
  [12, "auxiliary", "reserved (was: trailer present)", "none", undefined],
  [13, "ground", "return for 9", "white/red", 2.5],
];

export const iso11446: Connector = {
  id: "iso-11446",
  name: "Thirteen-contact (ISO 11446)",
  conventions: ["iso"],
  pins: rows.map(
    ([pin, of, use, colour, size]): ConnectorPin => ({
      pin: String(pin),
      function: of,
      use,
      colours: { iso: colour },
      place: place(pin),
      ...(size === undefined ? {} : { conductor: { system: "mm2", size, grade: "B", source: table } as const }),
      grade: "B",
      source: table,
    }),
  ),
};
