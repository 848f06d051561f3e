/** Wires of one sheet: which net each belongs to, where they join, and what is wrong about them. */
import { pinsOf } from "./symbols.mjs";

const at = (point) => `${point.x},${point.y}`;

const within = (value, one, other) => value >= Math.min(one, other) && value <= Math.max(one, other);
/** Whether a point lies on an upright or level segment. */
export const liesOn = (point, { from, to }) =>
  (from.x === to.x && point.x === from.x && within(point.y, from.y, to.y)) ||
  (from.y === to.y && point.y === from.y && within(point.x, from.x, to.x));

/** All pins of a sheet: "R1.1" → place and direction. */
export function sheetPins(sheet) {
  const pins = new Map();
  for (const [reference, part] of Object.entries(sheet.parts)) {
    for (const [number, point] of pinsOf(part)) pins.set(`${reference}.${number}`, point);
  }
  return pins;
}

/** Wires as segments, each with its net; `wrong` holds sentences, empty on a good sheet. */
export function wiringOf(sheet) {
  const wrong = [];
  const pins = sheetPins(sheet);
  const netOf = new Map(Object.entries(sheet.nets).flatMap(([net, members]) => members.map((pin) => [pin, net])));
  const wires = sheet.wires.map((stops) => {
    const points = stops.map((stop) => {
      if (typeof stop !== "string") return { x: stop[0], y: stop[1] };
      const pin = pins.get(stop);
      if (pin === undefined) throw new Error(`${sheet.name}: a wire names ${stop}, which is not drawn`);
      return { x: pin.x, y: pin.y, pin: stop };
    });
    const segments = points.slice(1).map((to, index) => ({ from: points[index], to }));
    const nets = new Set(points.flatMap(({ pin }) => (pin === undefined ? [] : [netOf.get(pin)])));
    if (nets.size > 1) wrong.push(`${sheet.name}: one wire joins ${[...nets].join(" and ")}`);
    for (const { from, to } of segments) {
      if (from.x !== to.x && from.y !== to.y)
        wrong.push(`${sheet.name}: a wire runs askew from ${at(from)} to ${at(to)}`);
    }
    return { points, segments, net: [...nets][0] };
  });
  const labels = sheet.labels.map(({ net, at: [x, y], side }) => ({ net, x, y, side }));
  for (let round = 0; round < wires.length; round += 1) {
    for (const wire of wires.filter(({ net }) => net === undefined)) {
      const touched = wires.find(
        (other) =>
          other.net !== undefined &&
          (other.segments.some((segment) => wire.points.some((point) => liesOn(point, segment))) ||
            wire.segments.some((segment) => other.points.some((point) => liesOn(point, segment)))),
      );
      wire.net = touched?.net ?? labels.find((label) => wire.segments.some((segment) => liesOn(label, segment)))?.net;
    }
  }
  const segments = wires.flatMap(({ segments: own, net }, wire) => own.map((segment) => ({ ...segment, net, wire })));
  wrong.push(...touching(sheet, segments, pins, netOf, labels));
  return { pins, netOf, segments, labels, joints: jointsOf(wires, pins), wired: wiredPins(segments, pins), wrong };
}

function touching(sheet, segments, pins, netOf, labels) {
  const wrong = [];
  for (const segment of segments) {
    if (segment.net === undefined) wrong.push(`${sheet.name}: a wire at ${at(segment.from)} hangs in the air`);
    for (const other of segments) {
      if (other.net === segment.net) continue;
      for (const end of [other.from, other.to]) {
        if (liesOn(end, segment)) wrong.push(`${sheet.name}: ${other.net} touches ${segment.net} at ${at(end)}`);
      }
    }
    for (const [pin, point] of pins) {
      if (liesOn(point, segment) && netOf.get(pin) !== segment.net)
        wrong.push(`${sheet.name}: ${segment.net} runs over ${pin}`);
    }
  }
  for (const label of labels) {
    const under = segments.find((segment) => liesOn(label, segment));
    if (under?.net !== label.net) wrong.push(`${sheet.name}: label ${label.net} stands on ${under?.net ?? "nothing"}`);
  }
  return wrong;
}

const wiredPins = (segments, pins) =>
  new Set([...pins].filter(([, point]) => segments.some((segment) => liesOn(point, segment))).map(([pin]) => pin));

/** Points where more than two directions meet. */
function jointsOf(wires, pins) {
  const joints = new Map();
  const ends = wires.flatMap(({ points }) => [points[0], points.at(-1)]);
  for (const end of ends) {
    let ways = 0;
    for (const { segments } of wires) {
      for (const segment of segments) {
        if (!liesOn(end, segment)) continue;
        ways += at(segment.from) === at(end) || at(segment.to) === at(end) ? 1 : 2;
      }
    }
    for (const point of pins.values()) if (at(point) === at(end)) ways += 1;
    if (ways > 2) joints.set(at(end), end);
  }
  return [...joints.values()];
}
