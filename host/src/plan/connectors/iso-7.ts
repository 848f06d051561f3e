import { atClock, type Connector, type ConnectorPin, type FacePlace } from "./connector.js";

const normal =
  "electronics2000.co.uk/pin-out/trailer.php; colours and sizes en.wikipedia.org/wiki/Trailer_connectors_in_Europe";
const supplementary = "electronics2000.co.uk/pin-out/trailer.php (1999 and later)";
const ring = (step: number): FacePlace =>
  atClock(
    2 * step,
    0.7,
    false,
    "six contacts round centre contact 7 (2 and 5 opposite each other: electronics2000.co.uk); clock position of 1 and sense of rotation not confirmed",
  );
const places: Readonly<Record<string, FacePlace>> = {
  "7": {
    x: 0,
    y: 0,
    confirmed: true,
    words: "centre: the gender key of electronics2000.co.uk (2, 5 and 7 of the 12N plug are female)",
  },
};
const placeOf = (pin: string): FacePlace => places[pin] ?? ring(Number(pin) - 1);

type Row = readonly [string, ConnectorPin["function"], string, string, number];

const pinsOf = (
  rows: readonly Row[],
  grade: ConnectorPin["grade"],
  source: string,
  sizeGrade: ConnectorPin["grade"],
  sizeSource: string,
) =>
  rows.map(
    ([pin, of, use, colour, size]): ConnectorPin => ({
      pin,
      function: of,
      use,
      colours: { iso: colour },
      place: placeOf(pin),
      conductor: { system: "mm2", size, grade: sizeGrade, source: sizeSource },
      grade,
      source,
    }),
  );

export const iso1724: Connector = {
  id: "iso-1724",
  name: "Seven-contact 12N (ISO 1724)",
  conventions: ["iso"],
  pins: pinsOf(
    [
      ["1", "left-turn", "left indicator (L)", "yellow", 1.5],
      ["2", "rear-fog", "rear fog lamp (54G)", "blue", 1.5],
      ["3", "ground", "ground (31)", "white", 2.5],
      ["4", "right-turn", "right indicator (R)", "green", 1.5],
      ["5", "tail", "right tail and licence lamps (58R)", "brown", 1.5],
      ["6", "stop", "stop lamps (54)", "red", 1.5],
      ["7", "tail", "left tail lamps (58L)", "black", 1.5],
    ],
    "C",
    normal,
    "C",
    "en.wikipedia.org/wiki/Trailer_connectors_in_Europe",
  ),
};

export const iso3732: Connector = {
  id: "iso-3732",
  name: "Seven-contact 12S (ISO 3732)",
  conventions: ["iso"],
  pins: pinsOf(
    [
      ["1", "reverse", "reversing lamps", "yellow", 1.5],
      ["2", "auxiliary", "spare, or charge (sources disagree)", "blue", 1.5],
      ["3", "ground", "ground for 4", "white", 2.5],
      ["4", "charge", "permanent 12 V", "green", 2.5],
      ["5", "auxiliary", "spare", "brown", 1.5],
      ["6", "auxiliary", "switched 12 V (refrigerator)", "red", 2.5],
      ["7", "ground", "ground for 6", "black", 2.5],
    ],
    "C",
    supplementary,
    "D",
    "from memory: ISO 3732",
  ),
};
