import { z } from "zod";
import { circuitFunctions } from "./circuit-function.js";

/**
 * The plan document `pinwalk-plan/1`: what should be there. Volts, amps, ohms, metres, mm². Keys that the format page
 * does not have, and that may be left out: `contactOhms`, `groundOhms`, `bondOhms`, `fuseAmps`, `colourConvention`, wire
 * by `sae` size, `vehicleWire` of a feed, the lamp kinds `filament`, `coil` and `battery`.
 */
const pinName = z.string().regex(/^[A-Za-z0-9]{1,8}$/, "a pin is named by 1 to 8 letters or digits");
const ohms = z.number().min(0).max(1000);
/** Words for people: they reach a terminal as they are, where a control character would be obeyed. */
const words = z.string().regex(/^\P{Cc}*$/u, "control characters are not allowed here");
const count = z.number().int().min(1).max(64);

export const wireRunSchema = z
  .strictObject({
    awg: z.number().int().optional(),
    sae: z.number().int().optional(),
    mm2: z.number().positive().optional(),
    metres: z.number().min(0).max(200),
    colour: words.min(1).max(40).optional(),
  })
  .refine((wire) => [wire.awg, wire.sae, wire.mm2].filter((size) => size !== undefined).length === 1, {
    message: "a wire has exactly one of awg, sae and mm2",
  });

const lampAmps = z.number().positive().max(50);
const lampVolts = z.number().min(1).max(60);

export const lampSchema = z.discriminatedUnion("kind", [
  z
    .strictObject({
      kind: z.literal("led"),
      amps: lampAmps,
      volts: lampVolts,
      kneeVolts: z.number().positive().max(60).optional(),
      regulated: z.boolean().optional(),
      count: count.optional(),
    })
    .refine((led) => led.volts > (led.kneeVolts ?? defaultKneeVolts), {
      message: "volts must lie above kneeVolts (8 V where silent)",
    }),
  z.strictObject({ kind: z.literal("resistor"), ohms: z.number().positive().max(1e6), count: count.optional() }),
  z.strictObject({ kind: z.literal("filament"), volts: lampVolts, amps: lampAmps, count: count.optional() }),
  z.strictObject({
    kind: z.literal("coil"),
    ohms: z.number().positive().max(1e5),
    henries: z.number().positive().max(10).optional(),
    count: count.optional(),
  }),
  z.strictObject({ kind: z.literal("battery"), volts: lampVolts, ohms: z.number().positive().max(100) }),
]);

/** Knee of an LED lamp where the plan is silent, volts. */
export const defaultKneeVolts = 8;

export const bulbLoadSchema = z.strictObject({
  bulb: z.string().min(1).max(32),
  filament: z.enum(["bright", "dim"]).optional(),
  count: count.optional(),
});

const factoryLoads = z.array(z.union([bulbLoadSchema, lampSchema])).max(32);

export const isolationSchema = z.union([
  z.string().min(1).max(40),
  z.strictObject({
    diode: z.strictObject({
      saturationAmps: z.number().positive().max(1),
      ideality: z.number().min(0.5).max(4),
      seriesOhms: z.number().min(0).max(10),
    }),
  }),
]);

export const connectorChoiceSchema = z.union([
  z.string().min(1).max(32),
  z.strictObject({
    id: z.literal("custom"),
    pins: z
      .array(z.strictObject({ pin: pinName, function: z.enum(circuitFunctions) }))
      .min(2)
      .max(13),
  }),
]);

const feedSchema = z.strictObject({
  to: z.string().regex(/^[A-Za-z0-9][A-Za-z0-9-]*\.(bright|dim)$/, 'a feed goes to "socket.bright" or "socket.dim"'),
  isolation: isolationSchema,
  wire: wireRunSchema.optional(),
  /** The vehicle's own wire at the joint, as somebody found it: where it is, its colour, what it does. For people alone. */
  vehicleWire: words.min(1).max(200).optional(),
});

const circuitSchema = z.strictObject({
  pin: pinName,
  function: z.enum(circuitFunctions),
  wire: wireRunSchema,
  feeds: z.array(feedSchema).max(64),
  tolerance: z.number().positive().max(1).optional(),
  contactOhms: ohms.optional(),
  fuseAmps: z.number().positive().max(100).optional(),
});

const socketSchema = z
  .strictObject({
    id: z.string().regex(/^[A-Za-z0-9][A-Za-z0-9-]{0,39}$/, "a socket's id has letters, digits and hyphens"),
    place: words.max(80).optional(),
    bulb: z.string().min(1).max(32).optional(),
    lamps: z.strictObject({ bright: lampSchema.optional(), dim: lampSchema.optional() }).optional(),
    count: count.optional(),
    factory: z.strictObject({ bright: factoryLoads.optional(), dim: factoryLoads.optional() }).optional(),
    groundOhms: ohms.optional(),
  })
  .refine((socket) => (socket.bulb === undefined) !== (socket.lamps === undefined), {
    message: "a socket has either a bulb or lamps",
  });

const nominalVolts = z.number().min(6).max(48);
const name = words.min(1).max(120);

export const installPlanSchema = z.strictObject({
  format: z.literal("pinwalk-plan/1"),
  kind: z.literal("install"),
  name,
  nominalVolts,
  connector: connectorChoiceSchema,
  colourConvention: z.enum(["sae", "rv", "iso"]).optional(),
  circuits: z.array(circuitSchema).min(1).max(13),
  sockets: z.array(socketSchema).max(64),
  ground: z.strictObject({
    pin: pinName,
    wire: wireRunSchema,
    contactOhms: ohms.optional(),
    bondOhms: ohms.optional(),
  }),
  senseOnly: z.array(pinName).max(13).optional(),
  contactOhms: ohms.optional(),
});

export const cablePlanSchema = z.strictObject({
  format: z.literal("pinwalk-plan/1"),
  kind: z.literal("cable"),
  name,
  nominalVolts,
  near: connectorChoiceSchema,
  far: connectorChoiceSchema,
  colourConvention: z.enum(["sae", "rv", "iso"]).optional(),
  conductors: z
    .array(z.strictObject({ near: pinName, far: pinName, wire: wireRunSchema, contactOhms: ohms.optional() }))
    .min(1)
    .max(13),
  farLoadOhms: z.number().positive().max(100_000),
  senseOnly: z.array(pinName).max(13).optional(),
  contactOhms: ohms.optional(),
});

export const planSchema = z.discriminatedUnion("kind", [installPlanSchema, cablePlanSchema]);

export type InstallPlan = z.infer<typeof installPlanSchema>;
export type CablePlan = z.infer<typeof cablePlanSchema>;
export type Plan = InstallPlan | CablePlan;
export type ConnectorChoice = z.infer<typeof connectorChoiceSchema>;
export type WireRun = z.infer<typeof wireRunSchema>;
export type LampSpec = z.infer<typeof lampSchema>;
export type BulbLoad = z.infer<typeof bulbLoadSchema>;
export type Isolation = z.infer<typeof isolationSchema>;
export type Circuit = InstallPlan["circuits"][number];
export type Feed = Circuit["feeds"][number];
export type Socket = InstallPlan["sockets"][number];
export type Conductor = CablePlan["conductors"][number];
