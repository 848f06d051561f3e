// Made from protocol.json by generate.mjs. Change the table, not this file.

export const protocolVersion = 2;
export const firmwareVersion = "1.0.0";
export const baud = 250000;
/** Bytes before the line feed. */
export const maxRequestBytes = 64;
/** Bytes before the line feed. */
export const maxReplyBytes = 160;
export const longestText = 16;
export const channels = 13;
export const driveChannels = 8;
export const marks = {"request":"?","reply":"=","refusal":"!","push":"~"} as const;
/** Milliseconds, milliamps and millivolts, as the names say. */
export const timing = {
  "silenceMs": 1000,
  "keepMs": 10000,
  "maxDriveMs": 10000,
  "slowTripMs": 100,
  "slowTripMilliamps": 10000,
  "coolMs": 2000,
  "liveMillivolts": 1000,
  "supplyMinMillivolts": 10000,
  "supplyMaxMillivolts": 16000,
  "fastTripMilliamps": 30000,
  "windowMs": 2
} as const;

export const words = {"state":["idle","armed","driving","latched"],"side":["near","far"],"reset":["power","external","brown-out","watchdog","restart"],"end":["settled","time","slow-trip","fast-trip","supply","silence","asked","garbled","unkept"],"mode":["drive","low","listen"],"what":["near","far","current"],"constant":["current-gain","current-offset","peak-gain","peak-offset","supply-gain","supply-offset","near-gain","near-offset","far-gain","far-offset","low-volts","low-ohms","u-volts-scale","u-volts-offset","u-amps-scale","u-amps-offset"]} as const;
export type State = (typeof words.state)[number];
export type Side = (typeof words.side)[number];
export type Reset = (typeof words.reset)[number];
export type End = (typeof words.end)[number];
export type Mode = (typeof words.mode)[number];
export type What = (typeof words.what)[number];
export type Constant = (typeof words.constant)[number];

export type NoFields = Readonly<Record<never, never>>;

export type FieldType =
  | "u8" | "u16" | "u32" | "i16" | "x16" | "text" | "packed" | "word:state" | "word:side" | "word:reset" | "word:end" | "word:mode" | "word:what" | "word:constant";

/** One field: for numbers its range, for a text its length, for a word the range of its place in the list. */
export interface FieldSpec {
  readonly name: string;
  readonly type: FieldType;
  readonly list?: true;
  readonly min: number;
  readonly max: number;
}

export interface RequestSpec {
  readonly fields: readonly FieldSpec[];
  readonly reply: readonly FieldSpec[];
  /** Whether asking twice does no harm. */
  readonly repeatable: boolean;
  /** Whether it switches outputs: refused, it turns everything off. */
  readonly outputs: boolean;
}

/** What goes with each request. */
export interface RequestFields {
  readonly "hello": NoFields;
  readonly "ping": NoFields;
  readonly "status": NoFields;
  readonly "limits": { /** mA */ readonly trip: number; /** ms */ readonly tripTime: number; /** mV */ readonly supplyMin: number; /** mV */ readonly supplyMax: number; /** ms */ readonly cool: number };
  readonly "roles": { /** channels that are wired to a pin */ readonly used: number; /** channels never driven; bits can be added, not taken back, until the next reset */ readonly senseOnly: number; /** channels on a ground pin; sticky likewise */ readonly ground: number };
  readonly "far": { /** 1: as well, 0: not */ readonly look: number };
  readonly "arm": NoFields;
  readonly "off": NoFields;
  readonly "rest": NoFields;
  readonly "low": { readonly channel: number };
  readonly "drive": { readonly channel: number; /** ms; ends after this long if the current has not settled */ readonly most: number };
  readonly "hold": { readonly channel: number };
  readonly "watch": { readonly channel: number; readonly mode: Mode; readonly what: What; /** mV or mA; under this it counts as interrupted; crossing it upwards is a rising edge */ readonly below: number };
  readonly "watched": { readonly measurement: number };
  readonly "keep": { readonly measurement: number };
  readonly "result": { readonly measurement: number };
  readonly "volts": { readonly measurement: number; readonly side: Side };
  readonly "check": NoFields;
  readonly "constant": { readonly item: Constant; /** 0 for an item that has no channels */ readonly channel: number };
  readonly "stage": { readonly item: Constant; /** 0 for an item that has no channels */ readonly channel: number; readonly value: number };
  readonly "serial": { readonly serial: string };
  readonly "store": { /** of calibration, YYYY-MM-DD; `-` for none */ readonly date: string };
  readonly "clear": NoFields;
  readonly "restart": NoFields;
}

/** What comes back. */
export interface ReplyFields {
  readonly "hello": { readonly protocol: number; readonly firmware: string; readonly serial: string; readonly channels: number; readonly driveChannels: number; /** date of calibration YYYY-MM-DD, or `-` when the bench runs on design values */ readonly calibrated: string; readonly reset: Reset };
  readonly "ping": { /** ms */ readonly uptime: number };
  readonly "status": { readonly state: State; /** mV */ readonly supply: number; /** 0.1 °C */ readonly temperature: number; /** ms */ readonly uptime: number; /** lines refused for form or checksum since reset */ readonly garbled: number; /** id of the newest measurement, 0 for none */ readonly measurement: number };
  readonly "limits": { /** mA */ readonly trip: number; /** ms */ readonly tripTime: number; /** mV */ readonly supplyMin: number; /** mV */ readonly supplyMax: number; /** ms */ readonly cool: number };
  readonly "roles": { readonly used: number; readonly senseOnly: number; readonly ground: number };
  readonly "far": { readonly look: number };
  readonly "arm": { /** mV */ readonly supply: number };
  readonly "off": { readonly state: State };
  readonly "rest": { readonly measurement: number; /** mV */ readonly supply: number };
  readonly "low": { readonly measurement: number };
  readonly "drive": { readonly measurement: number };
  readonly "hold": { readonly measurement: number };
  readonly "watch": { readonly measurement: number };
  readonly "watched": { readonly measurement: number; readonly end: End; /** how many there were, sent or not */ readonly windows: number; /** how many of them the bench could not send */ readonly dropped: number; /** interruptions of about 1 ms and longer */ readonly gaps: number; /** 0.1 ms; of them */ readonly longest: number; /** 0.1 ms; of them all */ readonly total: number };
  readonly "keep": { readonly measurement: number };
  readonly "result": { readonly measurement: number; readonly end: End; /** mA; settled, less what a filament still had to go; or the last before the end */ readonly current: number; /** mA; after a fast trip at least the limit, whether or not a conversion caught it */ readonly peak: number; /** ms */ readonly settle: number; readonly samples: number; /** mA; greatest less smallest of the settled window */ readonly spread: number; /** mV; while driven */ readonly supply: number };
  readonly "volts": { readonly measurement: number; readonly side: Side; /** mV; channels 0 to 12; `-` for one not measured */ readonly volts: readonly (number | undefined)[] };
  readonly "check": { /** mV; at the converter, of the grounded multiplexer input 15 */ readonly ground: number; /** mV; of the grounded input 14 */ readonly spare: number; /** mV; of input 13; half the reference at 25 °C */ readonly thermistor: number; /** 0.1 °C */ readonly temperature: number; /** mV; the chip's own 1.1 V, measured with the external reference; 1.0 to 1.2 V unless that is missing */ readonly bandgap: number; /** mA; of the open relay: the amplifier's zero */ readonly current: number; /** mA; likewise */ readonly peak: number; /** mV */ readonly supply: number; /** good copies of the constants in EEPROM */ readonly copies: number };
  readonly "constant": { readonly item: Constant; readonly channel: number; readonly value: number };
  readonly "stage": { readonly item: Constant; readonly channel: number; readonly value: number };
  readonly "serial": { readonly serial: string };
  readonly "store": { readonly date: string; /** one more with every storing */ readonly revision: number };
  readonly "clear": { readonly state: State };
  readonly "restart": NoFields;
}

/** What the bench says unasked. */
export interface PushFields {
  readonly "hello": { readonly protocol: number; readonly firmware: string; readonly serial: string; readonly reset: Reset };
  readonly "trace": { readonly measurement: number; /** ms */ readonly at: number; /** mA */ readonly current: number; /** mV */ readonly volts: number };
  readonly "ended": { readonly measurement: number; readonly end: End; /** mA */ readonly current: number; /** mV */ readonly volts: number };
  readonly "result": { readonly measurement: number; readonly end: End; /** mA */ readonly current: number; /** mA */ readonly peak: number; /** ms */ readonly settle: number; readonly samples: number; /** mA */ readonly spread: number; /** mV */ readonly supply: number };
  readonly "volts": { readonly measurement: number; readonly side: Side; /** mV */ readonly volts: readonly (number | undefined)[] };
  readonly "windows": { readonly measurement: number; /** number of the first window, counted from 0 */ readonly first: number; /** mA; mean over all these windows; 0 unless driven */ readonly current: number; /** mV; mean over all these windows */ readonly near: number; readonly windows: string };
  readonly "gap": { readonly measurement: number; /** 0.1 ms; when it began, since the first window */ readonly at: number; /** 0.1 ms */ readonly length: number };
  readonly "off": { readonly why: End; /** what was seen: mV of supply, ms of silence; 0 where nothing fits */ readonly value: number };
  readonly "garbled": { /** `form`, `long` or `crc` */ readonly why: string; readonly count: number };
  readonly "button": NoFields;
}

/** What goes with each refusal. */
export interface RefusalFields {
  readonly "verb": NoFields;
  readonly "form": NoFields;
  readonly "range": { readonly field: number };
  readonly "busy": NoFields;
  readonly "not-armed": NoFields;
  readonly "no-roles": NoFields;
  readonly "unused": { readonly channel: number };
  readonly "live": { readonly channel: number; /** mV */ readonly volts: number };
  readonly "stuck": { readonly channel: number; /** mV */ readonly volts: number };
  readonly "foreign": { readonly channel: number; /** mV */ readonly volts: number };
  readonly "sense-only": { readonly channel: number };
  readonly "ground": { readonly channel: number };
  readonly "supply": { /** mV */ readonly supply: number };
  readonly "latched": NoFields;
  readonly "cooling": { /** ms */ readonly wait: number };
  readonly "stale": { readonly measurement: number };
  readonly "not-stored": NoFields;
}

export type RequestName = keyof RequestFields;
export type PushName = keyof PushFields;
export type RefusalCode = keyof RefusalFields;

export const requests: Readonly<Record<RequestName, RequestSpec>> = {
  // Who is there. The first thing a host asks on any port.
  "hello": { fields: [], reply: [{ name: "protocol", type: "u8", min: 0, max: 255 }, { name: "firmware", type: "text", min: 1, max: 16 }, { name: "serial", type: "text", min: 1, max: 16 }, { name: "channels", type: "u8", min: 0, max: 255 }, { name: "driveChannels", type: "u8", min: 0, max: 255 }, { name: "calibrated", type: "text", min: 1, max: 16 }, { name: "reset", type: "word:reset", min: 0, max: 4 }], repeatable: true, outputs: false },
  // A sign of life; any valid line counts as one.
  "ping": { fields: [], reply: [{ name: "uptime", type: "u32", min: 0, max: 4294967295 }], repeatable: true, outputs: false },
  // State of the bench.
  "status": { fields: [], reply: [{ name: "state", type: "word:state", min: 0, max: 3 }, { name: "supply", type: "u16", min: 0, max: 65535 }, { name: "temperature", type: "i16", min: -32768, max: 32767 }, { name: "uptime", type: "u32", min: 0, max: 4294967295 }, { name: "garbled", type: "u16", min: 0, max: 65535 }, { name: "measurement", type: "u16", min: 0, max: 65535 }], repeatable: true, outputs: false },
  // Sets the slow limit and the supply window; the reply says what is in force. Refused while driving.
  "limits": { fields: [{ name: "trip", type: "u16", min: 100, max: 10000 }, { name: "tripTime", type: "u16", min: 1, max: 100 }, { name: "supplyMin", type: "u16", min: 6000, max: 16000 }, { name: "supplyMax", type: "u16", min: 6000, max: 16000 }, { name: "cool", type: "u16", min: 2000, max: 60000 }], reply: [{ name: "trip", type: "u16", min: 0, max: 65535 }, { name: "tripTime", type: "u16", min: 0, max: 65535 }, { name: "supplyMin", type: "u16", min: 0, max: 65535 }, { name: "supplyMax", type: "u16", min: 0, max: 65535 }, { name: "cool", type: "u16", min: 0, max: 65535 }], repeatable: true, outputs: false },
  // Which channels may be driven. Needed before arming. Refused while armed.
  "roles": { fields: [{ name: "used", type: "x16", min: 0, max: 8191 }, { name: "senseOnly", type: "x16", min: 0, max: 8191 }, { name: "ground", type: "x16", min: 0, max: 8191 }], reply: [{ name: "used", type: "x16", min: 0, max: 65535 }, { name: "senseOnly", type: "x16", min: 0, max: 65535 }, { name: "ground", type: "x16", min: 0, max: 65535 }], repeatable: true, outputs: false },
  // Whether measurements look at the far channels too. They do after a reset; without, each is shorter. Refused while armed.
  "far": { fields: [{ name: "look", type: "u8", min: 0, max: 1 }], reply: [{ name: "look", type: "u8", min: 0, max: 1 }], repeatable: true, outputs: false },
  // Closes the main relay with every channel off and looks at every pin: one that comes alive only now is a channel that failed conducting. Refused as `foreign` where a pin stands above the supply.
  "arm": { fields: [], reply: [{ name: "supply", type: "u16", min: 0, max: 65535 }], repeatable: false, outputs: true },
  // Everything off, relay open. Never refused.
  "off": { fields: [], reply: [{ name: "state", type: "word:state", min: 0, max: 3 }], repeatable: true, outputs: true },
  // Measures the used channels (all before `roles`) with every channel off. Refused while driving.
  "rest": { fields: [], reply: [{ name: "measurement", type: "u16", min: 0, max: 65535 }, { name: "supply", type: "u16", min: 0, max: 65535 }], repeatable: true, outputs: false },
  // Low-current check of one channel, the used channels measured meanwhile. Answers when done and off again. Needs the bench armed.
  "low": { fields: [{ name: "channel", type: "u8", min: 0, max: 7 }], reply: [{ name: "measurement", type: "u16", min: 0, max: 65535 }], repeatable: false, outputs: true },
  // Drives one channel until its current has settled. Answers at once; `ended` says when it is over. Needs the bench armed.
  "drive": { fields: [{ name: "channel", type: "u8", min: 0, max: 7 }, { name: "most", type: "u16", min: 10, max: 10000 }], reply: [{ name: "measurement", type: "u16", min: 0, max: 65535 }], repeatable: false, outputs: true },
  // Drives one channel for a person to look at; ends unless `keep` comes at least every ten seconds.
  "hold": { fields: [{ name: "channel", type: "u8", min: 0, max: 7 }], reply: [{ name: "measurement", type: "u16", min: 0, max: 65535 }], repeatable: false, outputs: true },
  // Streams `windows` and `gap` of one channel that is driven, fed with low current, or only listened to; ends unless `keep` comes at least every ten seconds. Listening needs no arming.
  "watch": { fields: [{ name: "channel", type: "u8", min: 0, max: 12 }, { name: "mode", type: "word:mode", min: 0, max: 2 }, { name: "what", type: "word:what", min: 0, max: 2 }, { name: "below", type: "u16", min: 1, max: 30000 }], reply: [{ name: "measurement", type: "u16", min: 0, max: 65535 }], repeatable: false, outputs: true },
  // How the newest watch ended. Refused as `stale` for any other measurement, as `busy` while it runs.
  "watched": { fields: [{ name: "measurement", type: "u16", min: 0, max: 65535 }], reply: [{ name: "measurement", type: "u16", min: 0, max: 65535 }, { name: "end", type: "word:end", min: 0, max: 8 }, { name: "windows", type: "u32", min: 0, max: 4294967295 }, { name: "dropped", type: "u32", min: 0, max: 4294967295 }, { name: "gaps", type: "u32", min: 0, max: 4294967295 }, { name: "longest", type: "u32", min: 0, max: 4294967295 }, { name: "total", type: "u32", min: 0, max: 4294967295 }], repeatable: true, outputs: false },
  // Confirms that a person is still looking at the held lamp, or a host still following the watch.
  "keep": { fields: [{ name: "measurement", type: "u16", min: 0, max: 65535 }], reply: [{ name: "measurement", type: "u16", min: 0, max: 65535 }], repeatable: true, outputs: true },
  // How the newest drive ended. Refused as `stale` for any other measurement, as `busy` while it runs.
  "result": { fields: [{ name: "measurement", type: "u16", min: 0, max: 65535 }], reply: [{ name: "measurement", type: "u16", min: 0, max: 65535 }, { name: "end", type: "word:end", min: 0, max: 8 }, { name: "current", type: "u16", min: 0, max: 65535 }, { name: "peak", type: "u16", min: 0, max: 65535 }, { name: "settle", type: "u16", min: 0, max: 65535 }, { name: "samples", type: "u16", min: 0, max: 65535 }, { name: "spread", type: "u16", min: 0, max: 65535 }, { name: "supply", type: "u16", min: 0, max: 65535 }], repeatable: true, outputs: false },
  // The voltages of the newest measurement. After a trip they are those of the last look before it, or `-`.
  "volts": { fields: [{ name: "measurement", type: "u16", min: 0, max: 65535 }, { name: "side", type: "word:side", min: 0, max: 1 }], reply: [{ name: "measurement", type: "u16", min: 0, max: 65535 }, { name: "side", type: "word:side", min: 0, max: 1 }, { name: "volts", type: "i16", list: true, min: -32768, max: 32767 }], repeatable: true, outputs: false },
  // What the bench can say of itself with everything off. Refused while armed.
  "check": { fields: [], reply: [{ name: "ground", type: "u16", min: 0, max: 65535 }, { name: "spare", type: "u16", min: 0, max: 65535 }, { name: "thermistor", type: "u16", min: 0, max: 65535 }, { name: "temperature", type: "i16", min: -32768, max: 32767 }, { name: "bandgap", type: "u16", min: 0, max: 65535 }, { name: "current", type: "u16", min: 0, max: 65535 }, { name: "peak", type: "u16", min: 0, max: 65535 }, { name: "supply", type: "u16", min: 0, max: 65535 }, { name: "copies", type: "u8", min: 0, max: 2 }], repeatable: true, outputs: false },
  // A constant of calibration that is in force.
  "constant": { fields: [{ name: "item", type: "word:constant", min: 0, max: 15 }, { name: "channel", type: "u8", min: 0, max: 12 }], reply: [{ name: "item", type: "word:constant", min: 0, max: 15 }, { name: "channel", type: "u8", min: 0, max: 12 }, { name: "value", type: "u16", min: 0, max: 65535 }], repeatable: true, outputs: false },
  // Puts a constant in force at once, until the next reset. The bench calls itself uncalibrated until `store`. Refused while armed.
  "stage": { fields: [{ name: "item", type: "word:constant", min: 0, max: 15 }, { name: "channel", type: "u8", min: 0, max: 12 }, { name: "value", type: "u16", min: 0, max: 65535 }], reply: [{ name: "item", type: "word:constant", min: 0, max: 15 }, { name: "channel", type: "u8", min: 0, max: 12 }, { name: "value", type: "u16", min: 0, max: 65535 }], repeatable: true, outputs: false },
  // Gives the bench its serial number, until the next reset or for good with `store`. Refused while armed.
  "serial": { fields: [{ name: "serial", type: "text", min: 1, max: 16 }], reply: [{ name: "serial", type: "text", min: 1, max: 16 }], repeatable: true, outputs: false },
  // Writes constants and serial number over the older of two copies in EEPROM and reads them back; takes about 0.6 s. Refused while armed.
  "store": { fields: [{ name: "date", type: "text", min: 1, max: 16 }], reply: [{ name: "date", type: "text", min: 1, max: 16 }, { name: "revision", type: "u16", min: 0, max: 65535 }], repeatable: true, outputs: false },
  // Clears the hardware latch, with every output off.
  "clear": { fields: [], reply: [{ name: "state", type: "word:state", min: 0, max: 3 }], repeatable: true, outputs: false },
  // Everything off, then a reset: the only way to take a sense-only or ground mark back.
  "restart": { fields: [], reply: [], repeatable: false, outputs: true },
};

export const pushes: Readonly<Record<PushName, readonly FieldSpec[]>> = {
  // The greeting, once after every reset.
  "hello": [{ name: "protocol", type: "u8", min: 0, max: 255 }, { name: "firmware", type: "text", min: 1, max: 16 }, { name: "serial", type: "text", min: 1, max: 16 }, { name: "reset", type: "word:reset", min: 0, max: 4 }],
  // The driven channel as it goes, at most every 20 ms.
  "trace": [{ name: "measurement", type: "u16", min: 0, max: 65535 }, { name: "at", type: "u16", min: 0, max: 65535 }, { name: "current", type: "u16", min: 0, max: 65535 }, { name: "volts", type: "i16", min: -32768, max: 32767 }],
  // A drive, hold or watch is over and its output is off.
  "ended": [{ name: "measurement", type: "u16", min: 0, max: 65535 }, { name: "end", type: "word:end", min: 0, max: 8 }, { name: "current", type: "u16", min: 0, max: 65535 }, { name: "volts", type: "i16", min: -32768, max: 32767 }],
  // What the request `result` would say, before the `ended` of a drive that measured to its end.
  "result": [{ name: "measurement", type: "u16", min: 0, max: 65535 }, { name: "end", type: "word:end", min: 0, max: 8 }, { name: "current", type: "u16", min: 0, max: 65535 }, { name: "peak", type: "u16", min: 0, max: 65535 }, { name: "settle", type: "u16", min: 0, max: 65535 }, { name: "samples", type: "u16", min: 0, max: 65535 }, { name: "spread", type: "u16", min: 0, max: 65535 }, { name: "supply", type: "u16", min: 0, max: 65535 }],
  // What the request `volts` would say, before the reply of `rest` and `low` and before such an `ended`: `near`, then `far` if that is looked at.
  "volts": [{ name: "measurement", type: "u16", min: 0, max: 65535 }, { name: "side", type: "word:side", min: 0, max: 1 }, { name: "volts", type: "i16", list: true, min: -32768, max: 32767 }],
  // Up to 16 windows of 2 ms of a watch, each of seven characters.
  "windows": [{ name: "measurement", type: "u16", min: 0, max: 65535 }, { name: "first", type: "u32", min: 0, max: 4294967295 }, { name: "current", type: "u16", min: 0, max: 65535 }, { name: "near", type: "i16", min: -32768, max: 32767 }, { name: "windows", type: "packed", min: 1, max: 112 }],
  // An interruption of about 1 ms or longer is over, or the watch.
  "gap": [{ name: "measurement", type: "u16", min: 0, max: 65535 }, { name: "at", type: "u32", min: 0, max: 4294967295 }, { name: "length", type: "u32", min: 0, max: 4294967295 }],
  // The bench went off by itself while armed.
  "off": [{ name: "why", type: "word:end", min: 0, max: 8 }, { name: "value", type: "u16", min: 0, max: 65535 }],
  // A line was thrown away, and with it every output.
  "garbled": [{ name: "why", type: "text", min: 1, max: 16 }, { name: "count", type: "u16", min: 0, max: 65535 }],
  // The start button was pressed.
  "button": [],
};

export const refusals: Readonly<Record<RefusalCode, readonly FieldSpec[]>> = {
  // no such request
  "verb": [],
  // fields are missing, too many or not numbers
  "form": [],
  // a field is outside its range (counted from 0)
  "range": [{ name: "field", type: "u8", min: 0, max: 255 }],
  // a drive or another measurement is going on, or the bench is armed
  "busy": [],
  // arm first
  "not-armed": [],
  // say which channels are wired first
  "no-roles": [],
  // that channel is not wired to a pin
  "unused": [{ name: "channel", type: "u8", min: 0, max: 255 }],
  // more than 1 V on that channel with everything off
  "live": [{ name: "channel", type: "u8", min: 0, max: 255 }, { name: "volts", type: "i16", min: -32768, max: 32767 }],
  // a drive channel conducts although it is off: replace its switch
  "stuck": [{ name: "channel", type: "u8", min: 0, max: 255 }, { name: "volts", type: "i16", min: -32768, max: 32767 }],
  // a pin stands above the supply and would feed the bench through its switch
  "foreign": [{ name: "channel", type: "u8", min: 0, max: 255 }, { name: "volts", type: "i16", min: -32768, max: 32767 }],
  // marked never to be driven
  "sense-only": [{ name: "channel", type: "u8", min: 0, max: 255 }],
  // that is a ground pin
  "ground": [{ name: "channel", type: "u8", min: 0, max: 255 }],
  // supply outside its window
  "supply": [{ name: "supply", type: "u16", min: 0, max: 65535 }],
  // the hardware limit has tripped; clear it first
  "latched": [],
  // that channel has just tripped; wait
  "cooling": [{ name: "wait", type: "u16", min: 0, max: 65535 }],
  // only the newest measurement is kept
  "stale": [{ name: "measurement", type: "u16", min: 0, max: 65535 }],
  // the EEPROM did not hold what was written; the older copy still stands
  "not-stored": [],
};
