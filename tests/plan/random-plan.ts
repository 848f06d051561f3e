import { connectors } from "@pinwalk/host/plan/connectors.js";
import fc from "fast-check";

const lengths = fc.integer({ min: 0, max: 2000 }).map((centimetres) => centimetres / 100);
const runs = fc.oneof(
  fc.record({ awg: fc.constantFrom(8, 10, 12, 14, 16, 18, 20), metres: lengths }),
  fc.record({ sae: fc.constantFrom(8, 10, 12, 14, 16, 18), metres: lengths }),
  fc.record({ mm2: fc.constantFrom(0.5, 0.75, 1, 1.5, 2.5, 4, 6), metres: lengths }),
);
const isolations = fc.oneof(
  fc.constantFrom("none", "silicon-6a", "schottky-10a", "silicon-3a", "silicon-10a"),
  fc.constant({ diode: { saturationAmps: 1e-9, ideality: 1.8, seriesOhms: 0 } }),
  fc.constant({ diode: { saturationAmps: 1e-6, ideality: 1.05, seriesOhms: 0.03 } }),
);
const lamps = fc.oneof(
  fc.record({
    kind: fc.constant("led"),
    amps: fc.double({ min: 0.01, max: 0.6, noNaN: true }),
    volts: fc.constant(12.8),
  }),
  fc.record({
    kind: fc.constant("led"),
    amps: fc.double({ min: 0.01, max: 0.6, noNaN: true }),
    volts: fc.constant(13.5),
    kneeVolts: fc.constant(9),
    regulated: fc.constant(true),
  }),
  fc.record({ kind: fc.constant("resistor"), ohms: fc.double({ min: 4, max: 400, noNaN: true }) }),
  fc.record({
    kind: fc.constant("filament"),
    volts: fc.constant(12.8),
    amps: fc.double({ min: 0.1, max: 4, noNaN: true }),
  }),
  fc.record({ kind: fc.constant("coil"), ohms: fc.double({ min: 2, max: 50, noNaN: true }) }),
);
const doubles = fc.constantFrom("1157", "2057", "P21/5W", "7443");
const singles = fc.constantFrom("1156", "194", "921", "P21W", "R5W");
const factory = fc.option(
  fc.array(fc.oneof(fc.record({ bulb: singles, count: fc.integer({ min: 1, max: 4 }) }), lamps), { maxLength: 3 }),
  { nil: undefined },
);

const sockets = fc.record({
  lamp: fc.oneof(doubles, fc.record({ bright: lamps, dim: lamps })),
  count: fc.integer({ min: 1, max: 5 }),
  bright: factory,
  dim: factory,
});

/**
 * Install plans that nobody drew: any connector, any mix of bulbs, LEDs, resistors, diodes and wire, lamps fed twice or
 * never, several on one branch. All of them parse.
 */
export const randomPlans = fc
  .record({
    connector: fc.constantFrom(...connectors),
    nominalVolts: fc.constantFrom(12, 12, 12, 24),
    sockets: fc.array(sockets, { minLength: 1, maxLength: 5 }),
    feeds: fc.array(
      fc.record({
        circuit: fc.nat(),
        socket: fc.nat(),
        dim: fc.boolean(),
        isolation: isolations,
        wire: fc.option(runs, { nil: undefined }),
      }),
      { maxLength: 14 },
    ),
    circuits: fc.integer({ min: 1, max: 6 }),
    wire: fc.array(runs, { minLength: 7, maxLength: 7 }),
  })
  .map((drawn) => {
    const ground = drawn.connector.pins.find((pin) => pin.function === "ground")?.pin ?? "";
    const pins = drawn.connector.pins
      .filter((pin) => pin.pin !== ground && pin.function !== "ground")
      .slice(0, drawn.circuits);
    return {
      format: "pinwalk-plan/1",
      kind: "install",
      name: "drawn by lot",
      nominalVolts: drawn.nominalVolts,
      connector: drawn.connector.id,
      circuits: pins.map((pin, at) => {
        const reached = new Set<string>();
        return {
          pin: pin.pin,
          function: pin.function,
          wire: drawn.wire[at],
          feeds: drawn.feeds.flatMap((feed) => {
            const to = `s${feed.socket % drawn.sockets.length}.${feed.dim ? "dim" : "bright"}`;
            if (feed.circuit % pins.length !== at || reached.has(to)) return [];
            reached.add(to);
            return [{ to, isolation: feed.isolation, ...(feed.wire === undefined ? {} : { wire: feed.wire }) }];
          }),
        };
      }),
      sockets: drawn.sockets.map((socket, at) => ({
        id: `s${at}`,
        ...(typeof socket.lamp === "string" ? { bulb: socket.lamp } : { lamps: socket.lamp }),
        count: socket.count,
        factory: {
          ...(socket.bright === undefined ? {} : { bright: socket.bright }),
          ...(socket.dim === undefined ? {} : { dim: socket.dim }),
        },
      })),
      ground: { pin: ground, wire: drawn.wire[6] },
    };
  });
