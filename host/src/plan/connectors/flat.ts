import type { Connector, ConnectorPin, FacePlace } from "./connector.js";

const allocation = "contact-allocation table for SAE J1239 on a connector maker's standards page";
const scope = "SAE J1239 scope: running-light circuit loads at most 7.5 A per circuit";
const row = (position: number, count: number): FacePlace => ({
  x: Math.round(((2 * position - 1 - count) / count) * 1000) / 1000 + 0,
  y: 0,
  confirmed: false,
  words:
    "one straight row in the order white, brown, yellow, green, blue: from memory; which end is left is not confirmed",
});

const pins = (count: number): ConnectorPin[] => [
  {
    pin: "1",
    function: "ground",
    use: "ground",
    colours: { sae: "white" },
    place: row(1, count),
    conductor: { system: "awg", size: 16, grade: "C", source: allocation },
    grade: "C",
    source: allocation,
  },
  ...(
    [
      ["2", "tail", "tail and licence lamps", "brown"],
      ["3", "left-stop-turn", "left turn and stop", "yellow"],
      ["4", "right-stop-turn", "right turn and stop", "green"],
    ] as const
  ).map(
    ([pin, of, use, colour]): ConnectorPin => ({
      pin,
      function: of,
      use,
      colours: { sae: colour },
      place: row(Number(pin), count),
      conductor: { system: "awg", size: 18, grade: "C", source: allocation },
      maxAmps: { amps: 7.5, grade: "B", source: scope },
      grade: "C",
      source: allocation,
    }),
  ),
];

export const flat4: Connector = {
  id: "flat-4",
  name: "Four-contact flat (SAE J1239)",
  conventions: ["sae"],
  pins: pins(4),
};

export const flat5: Connector = {
  id: "flat-5",
  name: "Five-contact flat (SAE J1239)",
  conventions: ["sae"],
  pins: [
    ...pins(5),
    {
      pin: "5",
      function: "auxiliary",
      use: "electric brake, or reversing lamps to lock out a surge brake; use varies",
      colours: { sae: "blue" },
      place: row(5, 5),
      grade: "D",
      source: "from memory: SAE J1239 five-conductor receptacle",
    },
  ],
};
