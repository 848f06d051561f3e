import type { InstallWiring, WiringCircuit, WiringLamp } from "@pinwalk/host/server/plan-drafting/wiring-contract.js";

/** Places of an install plan's wiring on paper, in units of the drawing; nothing electrical is worked out here. */
export interface WiringLayout {
  readonly width: number;
  readonly height: number;
  readonly circuits: readonly PlacedCircuit[];
  readonly housings: readonly PlacedHousing[];
  readonly groundY: number;
  readonly lampX: number;
}

export interface PlacedCircuit {
  readonly circuit: WiringCircuit;
  readonly y: number;
  /** Where the trunk turns towards its lamps. */
  readonly laneX: number;
  readonly feeds: readonly { readonly feed: WiringCircuit["feeds"][number]; readonly y: number }[];
}

export interface PlacedHousing {
  readonly name: string;
  readonly side: string;
  readonly y: number;
  readonly height: number;
  readonly lamps: readonly { readonly lamp: WiringLamp; readonly y: number; readonly lines: readonly string[] }[];
}

export const pinX = 22;
const laneStart = 268;
const laneStep = 16;
const branchWidth = 250;
const lampWidth = 282;
const rowHeight = 58;
const lineHeight = 15;
const pinSpacing = 50;
/** Closer than this two lines would look like one. */
const apart = 9;

interface Row {
  readonly key: string;
  readonly y: number;
}

const rowKey = (pin: string, lamp: string) => `${pin}/${lamp}`;

export function wiringLayout({ circuits, housings }: InstallWiring): WiringLayout {
  const rows: Row[] = [];
  const placed: PlacedHousing[] = [];
  let y = 14;
  for (const housing of housings) {
    const top = y;
    y += 30;
    const lamps = housing.lamps.map((lamp) => {
      const feeding = circuits.filter(({ feeds }) => feeds.some((feed) => feed.lamp === lamp.id));
      const lines = [lamp.ownFeed, lamp.vehicleWire && `vehicle's wire: ${lamp.vehicleWire}`].flatMap((words) =>
        words === null ? [] : wrapped(words, 33),
      );
      const first = y + 22;
      for (const [at, { pin }] of feeding.entries())
        rows.push({ key: rowKey(pin, lamp.id), y: first + at * rowHeight });
      const ways = Math.max(feeding.length, 1);
      y += Math.max(ways * rowHeight, 34 + lines.length * lineHeight + 16);
      return { lamp, y: first, lines };
    });
    placed.push({ name: housing.name, side: housing.side, y: top, height: y - top, lamps });
    y += 16;
  }
  const yOf = (pin: string, lamp: string) => rows.find(({ key }) => key === rowKey(pin, lamp))?.y ?? 40;
  const middle = ({ pin, feeds }: WiringCircuit) =>
    feeds.length === 0 ? y : feeds.reduce((sum, { lamp }) => sum + yOf(pin, lamp), 0) / feeds.length;
  const order = [...circuits].sort((one, other) => middle(one) - middle(other));
  let lowest = 30 - pinSpacing;
  const done = order.map((circuit, at): PlacedCircuit => {
    const feeds = circuit.feeds.map((feed) => ({ feed, y: yOf(circuit.pin, feed.lamp) }));
    const own = feeds.length === 1 ? feeds[0]?.y : undefined;
    lowest = freeOf(rows, Math.max(middle(circuit), lowest + pinSpacing), own);
    return { circuit, y: lowest, laneX: laneStart + at * laneStep, feeds };
  });
  const lampX = laneStart + Math.max(circuits.length, 1) * laneStep + branchWidth;
  const groundY = Math.max(lowest + pinSpacing + 14, y + 10);
  return { width: lampX + lampWidth, height: groundY + 44, circuits: done, housings: placed, groundY, lampX };
}

/** A height at which no other circuit's branch runs. */
function freeOf(rows: readonly Row[], wanted: number, own: number | undefined): number {
  let y = wanted;
  while (rows.some((row) => row.y !== own && Math.abs(row.y - y) < apart)) y += 3;
  return own !== undefined && Math.abs(own - y) < apart ? own : y;
}

/** Words in lines of a certain length. */
function wrapped(words: string, length: number): string[] {
  const lines: string[] = [];
  for (const word of words.split(" ")) {
    const last = lines.at(-1);
    if (last !== undefined && last.length + 1 + word.length <= length) lines[lines.length - 1] = `${last} ${word}`;
    else lines.push(word);
  }
  return lines;
}
