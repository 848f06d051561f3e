import type { RequestFields, RequestName } from "@pinwalk/firmware-protocol/generated/protocol.js";
import type { ResetCause } from "@pinwalk/host/bench/virtual/chip/atmega328p.js";
import fc from "fast-check";
import type { Hang } from "./duty-bench.js";

type AnyRequest = { [Name in RequestName]: { readonly name: Name; readonly fields: RequestFields[Name] } }[RequestName];

/** One thing that a host, a vehicle or bad luck does to a bench. */
type What =
  | { readonly kind: "ask"; readonly requests: readonly AnyRequest[] }
  /** `keep`, `result` or `volts` of the newest measurement. */
  | { readonly kind: "newest"; readonly name: "keep" | "result" | "volts" }
  | { readonly kind: "noise"; readonly bytes: Uint8Array }
  | { readonly kind: "silence" }
  /** A host that pings now and then, and keeps a held lamp for a while. */
  | { readonly kind: "talk"; readonly talkMs: number; readonly keepForMs: number }
  | { readonly kind: "load"; readonly channel: number; readonly ohms: number }
  | { readonly kind: "foreign"; readonly channel: number; readonly volts: number }
  | { readonly kind: "supply"; readonly volts: number }
  | { readonly kind: "reset"; readonly cause: ResetCause }
  | { readonly kind: "hang"; readonly how: Hang }
  /** A switch fails conducting while the relay is open, the host arms, and the switch is mended. */
  | { readonly kind: "arm-stuck"; readonly channel: number };

/** What happens, and the milliseconds of emulated time that pass afterwards. */
export type Happening = What & { readonly waitMs: number };

const channel = fc.nat({ max: 7 });
const mostMs = fc.oneof(fc.integer({ min: 10, max: 400 }), fc.integer({ min: 10, max: 3_000 }));
const shortWait = fc.oneof(fc.nat({ max: 5 }), fc.nat({ max: 60 }), fc.nat({ max: 250 }));

const none = {} as const;
const drive = fc.record({ name: fc.constant("drive" as const), fields: fc.record({ channel, most: mostMs }) });
const hold = fc.record({ name: fc.constant("hold" as const), fields: fc.record({ channel }) });
const low = fc.record({ name: fc.constant("low" as const), fields: fc.record({ channel }) });
const watch = fc
  .record({
    channel,
    mode: fc.constantFrom("drive", "low", "listen"),
    what: fc.constantFrom("near", "far"),
    below: fc.integer({ min: 1, max: 9_000 }),
  })
  .map((fields) => ({ name: "watch" as const, fields }));
const output = fc.oneof(drive, hold, low, watch);
/** What does not touch a channel in mid-drive ends it less often; so a drive is asked for more often than the others. */
const outputOn = (on: number) =>
  fc
    .oneof({ weight: 3, arbitrary: drive }, { weight: 1, arbitrary: fc.oneof(hold, low, watch) })
    .map(({ name, fields }) => ({ name, fields: { ...fields, channel: on } }));
const arm = fc.constant({ name: "arm" as const, fields: none });
const roles = fc.record({
  name: fc.constant("roles" as const),
  fields: fc.record({
    used: fc.oneof({ weight: 4, arbitrary: fc.constant(0xff) }, { weight: 1, arbitrary: fc.nat({ max: 0x1fff }) }),
    senseOnly: fc.constantFrom(0, 0, 0, 0x20, 0x02),
    ground: fc.constantFrom(0, 0, 0, 0x40, 0x1000, 0x08),
  }),
});
const limits = fc.record({
  name: fc.constant("limits" as const),
  fields: fc.record({
    trip: fc.constantFrom(500, 3_000, 10_000),
    tripTime: fc.constantFrom(1, 10, 100),
    supplyMin: fc.constant(10_000),
    supplyMax: fc.constant(16_000),
    cool: fc.constantFrom(2_000, 3_000),
  }),
});
const simple = fc
  .constantFrom("hello", "ping", "status", "off", "rest", "clear", "restart")
  .map((name) => ({ name, fields: none }));
const stray = fc.oneof(
  fc.record({ name: fc.constant("keep" as const), fields: fc.record({ measurement: fc.nat({ max: 9 }) }) }),
  fc.record({ name: fc.constant("result" as const), fields: fc.record({ measurement: fc.nat({ max: 9 }) }) }),
);
const anyRequest = fc.oneof(
  { weight: 4, arbitrary: output },
  { weight: 3, arbitrary: arm },
  { weight: 3, arbitrary: simple },
  { weight: 1, arbitrary: roles },
  { weight: 1, arbitrary: limits },
  { weight: 1, arbitrary: stray },
) as fc.Arbitrary<AnyRequest>;

const kind = <Kind extends What["kind"]>(name: Kind) => fc.constant(name);
const asks = (minLength: number, maxLength: number) =>
  fc.record({ kind: kind("ask"), requests: fc.array(anyRequest, { minLength, maxLength }) });
const newest = fc.constantFrom("keep" as const, "result" as const, "volts" as const);
const talk = { talkMs: fc.nat({ max: 1_500 }), keepForMs: fc.nat({ max: 1_000 }) };
const noise = fc
  .tuple(fc.uint8Array({ maxLength: 90 }), fc.boolean())
  .map(([bytes, ended]) => (ended ? Uint8Array.from([...bytes, 0x0a]) : bytes));
/** Among them what draws a little more than each of the slow limits above. */
const ohms = fc.constantFrom(0.2, 0.9, 1.12, 2, 3.9, 6, 20, 23.3, 200, 1_000_000);
const cause = fc.constantFrom("power" as const, "external" as const, "brown-out" as const, "watchdog" as const);
const how = fc.constantFrom("spins" as const, "spins without interrupts" as const, "has a dead converter" as const);

const what: fc.Arbitrary<What> = fc.oneof(
  { weight: 6, arbitrary: asks(1, 1) },
  { weight: 2, arbitrary: asks(2, 7) },
  { weight: 3, arbitrary: fc.record({ kind: kind("newest"), name: newest }) },
  { weight: 4, arbitrary: fc.record({ kind: kind("noise"), bytes: noise }) },
  { weight: 2, arbitrary: fc.record({ kind: kind("talk"), ...talk }) },
  { weight: 5, arbitrary: fc.record({ kind: kind("load"), channel, ohms }) },
  {
    weight: 3,
    arbitrary: fc.record({ kind: kind("foreign"), channel, volts: fc.constantFrom(0, 0, 0.6, 1.3, 6, 12) }),
  },
  { weight: 2, arbitrary: fc.record({ kind: kind("supply"), volts: fc.constantFrom(9, 12.8, 12.8, 12.8, 18) }) },
  { weight: 1, arbitrary: fc.record({ kind: kind("reset"), cause }) },
  { weight: 1, arbitrary: fc.record({ kind: kind("hang"), how }) },
  { weight: 1, arbitrary: fc.record({ kind: kind("arm-stuck"), channel }) },
);
const silence = fc.integer({ min: 900, max: 1_300 }).map((waitMs): Happening => ({ kind: "silence", waitMs }));
const single: fc.Arbitrary<Happening> = fc.oneof(
  { weight: 29, arbitrary: fc.tuple(what, shortWait).map(([one, waitMs]) => ({ ...one, waitMs })) },
  { weight: 1, arbitrary: silence },
);

/** What does not disturb a drive, for it to come to its own end. */
const patience: fc.Arbitrary<Happening> = fc.record({ kind: kind("talk"), ...talk, waitMs: fc.nat({ max: 20 }) });

/** Sets the bench up as a host does, one answer at a time, switches one channel on, and lets things happen meanwhile. */
const episode = fc
  .record({ on: channel, before: ohms, settings: fc.tuple(roles, limits), limited: fc.boolean() })
  .chain(({ on, before, settings, limited }) => {
    const change = fc
      .tuple(ohms, shortWait)
      .map(([to, waitMs]): Happening => ({ kind: "load", channel: on, ohms: to, waitMs }));
    const meanwhile = fc.oneof(
      { weight: 4, arbitrary: single },
      { weight: 1, arbitrary: change },
      { weight: 2, arbitrary: patience },
    );
    return fc
      .tuple(outputOn(on), shortWait, fc.array(meanwhile, { maxLength: 4 }))
      .map(([request, waitMs, rest]): Happening[] => [
        { kind: "load", channel: on, ohms: before, waitMs: 0 },
        { kind: "ask", requests: limited ? settings : settings.slice(0, 1), waitMs: 8 },
        { kind: "ask", requests: [{ name: "clear", fields: none }], waitMs: 5 },
        { kind: "ask", requests: [{ name: "arm", fields: none }], waitMs: 60 },
        { kind: "ask", requests: [request as AnyRequest], waitMs },
        ...rest,
      ]);
  });

/** A long story. */
export const story: fc.Arbitrary<readonly Happening[]> = fc
  .array(episode, { minLength: 3, maxLength: 12 })
  .map((episodes) => episodes.flat());
