import { isSilentTooLong } from "../line-attack/valid-lines.js";
import { type Interval, intervals, overlaps, partsWith, type Switched, switchings, valueAt } from "./intervals.js";
import { type Asked, touchesOutputs, type Witness } from "./witness.js";

/** A request waits in the receiver while up to 512 bytes leave the sender at 25 bytes a millisecond. */
const READ_WITHIN_MS = 512 / 25 + 2;
/** From a request that was read to the output that it switches on: the live check, 8 conversions of 16. */
const ADMITTED_WITHIN_MS = 5;
/** Two looks at 13 pins and the relay. */
const ARMED_WITHIN_MS = 80;
const TICK_MS = 1;
/** The current is converted at least every 0.42 ms while anything is on, the supply every 1.7 ms. */
const CURRENT_SEEN_MS = 0.5;
const SUPPLY_SEEN_MS = 2;
const SUPPLY_GRACE_MS = 20;
/** A conversion, and what the interrupt does before it switches off. */
const LATCH_SEEN_MS = 0.104 + 0.05;
const LOW_MOST_MS = 500;
const KEEP_MS = 10_000;
const WATCHDOG_MS = 265;
/** The firmware's limit is 1 V; what is a count of the converter above it is left to chance. */
const LIVE_VOLTS = 1.05;
/** How long a pin has to have been live to be seen: longer than the live check. */
const LIVE_SEEN_MS = 6;
const SOURCE_OHMS = 0.1;
const SUPPLY_MARGIN_VOLTS = 0.2;
/** Across the fuse and lead before the place where the supply is measured, at the 30 A that the fast limit allows. */
const MOST_DROP_VOLTS = 1.5;

/** Each duty, and what its witness says against it: nothing, or when and how it was neglected. */
export const duties: Readonly<Record<string, (witness: Witness) => string[]>> = {
  "one channel at a time": (witness) =>
    log(witness).flatMap(({ atMs, driveMask, lowMask }) =>
      bits(driveMask & ~stuckAt(witness, atMs)) + bits(lowMask) > 1
        ? [`${at(atMs)}: supply ${driveMask}, low current ${lowMask}`]
        : [],
    ),

  "never a marked or unused channel": (witness) =>
    on(witness).flatMap((one) => {
      const now = valueAt(witness.inForce, one.fromMs);
      const bit = 1 << one.channel;
      return now === undefined || (now.marked & bit) !== 0 || (now.used & bit) === 0 ? [words(one)] : [];
    }),

  "never a live channel": (witness) =>
    on(witness).flatMap((one) => {
      const before = { fromMs: one.fromMs - LIVE_SEEN_MS, toMs: one.fromMs };
      const live = partsWith(witness.foreign.get(one.channel) ?? [], before, (volts) => volts > LIVE_VOLTS);
      return live.some(({ fromMs, toMs }) => fromMs === before.fromMs && toMs === before.toMs) ? [words(one)] : [];
    }),

  "nothing goes on unasked": (witness) => {
    const claimed = new Set<Asked>();
    return on(witness).flatMap((one) => {
      const asked = askedFor(witness, one);
      if (asked === undefined || claimed.has(asked)) return [words(one)];
      claimed.add(asked);
      return asked.answer?.kind === "refusal" && asked.answer.code !== "not-armed" && asked.name !== "low"
        ? [`${words(one)}, though refused as ${asked.answer.code}`]
        : [];
    });
  },

  "the relay closes for an arming alone": (witness) =>
    relay(witness).flatMap(({ fromMs }) => {
      const asked = witness.asked.some(
        ({ name, arrivedAtMs }) => name === "arm" && arrivedAtMs <= fromMs && fromMs - arrivedAtMs < ARMED_WITHIN_MS,
      );
      return asked ? [] : [`the relay closed at ${at(fromMs)}`];
    }),

  "off within a second of the last valid line": (witness) => {
    const longest = witness.lines.longestOnInSilenceMs(log(witness), witness.nowMs);
    return isSilentTooLong(longest) ? [`on for ${longest.toFixed(1)} ms of silence`] : [];
  },

  "every output has an end": (witness) =>
    on(witness).flatMap((one) => {
      const asked = askedFor(witness, one);
      if (interruptsDead(witness, one)) return [];
      const most = asked === undefined ? 0 : mostMs(witness, asked, one);
      return one.toMs - one.fromMs > most + TICK_MS + 0.1 ? [`${words(one)}, at most ${most} ms`] : [];
    }),

  "the slow limit switches off in time": (witness) =>
    on(witness).flatMap((one) => {
      const now = valueAt(witness.inForce, one.fromMs);
      if (one.source !== "supply" || now === undefined) return [];
      const volts = Math.min(...partsOfSupply(witness, one));
      const isOver = (ohms: number) => volts / (ohms + SOURCE_OHMS) > now.tripAmps * 1.02 + 0.03;
      return partsWith(witness.loads.get(one.channel) ?? [], one, isOver).flatMap((over) => {
        const lasted = over.toMs - over.fromMs;
        if (lasted <= now.tripMs + TICK_MS + CURRENT_SEEN_MS || converterDead(witness, over)) return [];
        return [`${words(one)}: over ${now.tripAmps} A for ${lasted.toFixed(2)} ms, limit ${now.tripMs}`];
      });
    }),

  "the latch is followed within a conversion": (witness) =>
    witness.bench.offAfterLatchMs.flatMap(({ atMs, tookMs }) => {
      if (tookMs <= LATCH_SEEN_MS || converterDead(witness, { fromMs: atMs, toMs: atMs + 1 })) return [];
      return [`latched at ${at(atMs)}, off ${tookMs.toFixed(3)} ms later`];
    }),

  "the supply's window is kept": (witness) =>
    relay(witness).flatMap((armed) =>
      partsWith(
        witness.supply,
        armed,
        (volts) => volts < 10 - SUPPLY_MARGIN_VOLTS || volts > 16 + MOST_DROP_VOLTS + SUPPLY_MARGIN_VOLTS,
      )
        .filter((out) => out.toMs - out.fromMs > SUPPLY_GRACE_MS + TICK_MS + SUPPLY_SEEN_MS)
        .filter((out) => !converterDead(witness, out) && !converterDead(witness, armed))
        .map((out) => `armed on a supply outside its window from ${at(out.fromMs)} to ${at(out.toMs)}`),
    ),

  "a switch that conducts is found at arming": (witness) =>
    witness.armedStuck.flatMap(({ channel, answer, atMs }) => {
      const now = valueAt(witness.inForce, atMs);
      const supply = valueAt(witness.supply, atMs) ?? 0;
      const ohms = valueAt(witness.loads.get(channel) ?? [], atMs) ?? 0;
      if (answer === "armed") return [`armed at ${at(atMs)} with channel ${channel} conducting`];
      // What else keeps it from arming comes first: no roles, a supply that is out, a current over a limit.
      const amps = supply / (ohms + SOURCE_OHMS);
      const other = now === undefined || now.used === 0 || supply < 10 || supply > 16 || amps > 0.9 * now.tripAmps;
      return other || answer === "stuck"
        ? []
        : [`answered ${answer} at ${at(atMs)} with channel ${channel} conducting`];
    }),

  "off through every reset": (witness) =>
    witness.resetsAtMs.flatMap((resetMs) => {
      const state = log(witness).findLast(({ atMs }) => atMs <= resetMs + 0.001);
      return state !== undefined && (state.relayClosed || state.driveMask !== 0 || state.lowMask !== 0)
        ? [`on after the reset at ${at(resetMs)}`]
        : [];
    }),

  "a program that stands still is ended by the watchdog": (witness) =>
    witness.hangs.flatMap(({ fromMs, how }) =>
      intervals(
        log(witness),
        witness.nowMs,
        (state) => state.relayClosed || state.driveMask !== 0 || state.lowMask !== 0,
      )
        .filter((one) => one.fromMs <= fromMs && one.toMs > fromMs + WATCHDOG_MS)
        .map((one) => `${how} at ${at(fromMs)}, off at ${at(one.toMs)}`),
    ),

  "a refusal of an output takes everything off": (witness) =>
    witness.asked.flatMap((one) => {
      const { answer } = one;
      if (answer?.kind !== "refusal" || !touchesOutputs(one) || answer.code === "verb") return [];
      return offWithin(witness, { fromMs: one.sentAtMs, toMs: answer.atMs })
        ? []
        : [`${one.name} refused at ${at(answer.atMs)}`];
    }),

  "off, clear and restart take everything off before they are answered": (witness) =>
    witness.asked.flatMap(({ name, sentAtMs, answer }) => {
      if (answer?.kind !== "reply" || !["off", "clear", "restart"].includes(name)) return [];
      return offWithin(witness, { fromMs: sentAtMs, toMs: answer.atMs })
        ? []
        : [`${name} answered at ${at(answer.atMs)}`];
    }),

  "a garbled line takes everything off": (witness) =>
    witness.pushes.flatMap(({ atMs, push }) => {
      if (push.name !== "garbled") return [];
      return offWithin(witness, { fromMs: atMs - READ_WITHIN_MS - 5, toMs: atMs }) ? [] : [`garbled at ${at(atMs)}`];
    }),

  "a switch that has tripped cools first": (witness) => {
    const resets = witness.pushes.filter(({ push }) => push.name === "hello").map(({ atMs }) => atMs);
    return witness.pushes.flatMap(({ atMs, push }) => {
      if (push.name !== "ended" || (push.fields.end !== "slow-trip" && push.fields.end !== "fast-trip")) return [];
      const tripped = on(witness).findLast((one) => one.source === "supply" && one.toMs <= atMs);
      const cool = valueAt(witness.inForce, atMs)?.coolMs ?? 0;
      if (tripped === undefined) return [];
      const again = on(witness).find((one) => one.channel === tripped.channel && one.fromMs > tripped.toMs + 0.01);
      if (again === undefined || again.fromMs >= tripped.toMs + cool - TICK_MS) return [];
      const forgotten = resets.some((resetMs) => resetMs > tripped.toMs && resetMs < again.fromMs);
      return forgotten ? [] : [`${words(again)}, after a trip at ${at(tripped.toMs)}`];
    });
  },
};

function log(witness: Witness) {
  return witness.bench.outputs.entries;
}

/** Everything that was on, but for a switch that the story itself had fail. */
function on(witness: Witness): Switched[] {
  return switchings(log(witness), witness.nowMs)
    .filter((one) => !witness.stuck.some(({ channel, ...stuck }) => channel === one.channel && overlaps(stuck, one)))
    .toSorted((a, b) => a.fromMs - b.fromMs);
}

function relay(witness: Witness): Interval[] {
  return intervals(log(witness), witness.nowMs, ({ relayClosed }) => relayClosed);
}

function stuckAt(witness: Witness, atMs: number): number {
  const stuck = witness.stuck.find(({ fromMs, toMs }) => atMs >= fromMs && atMs <= toMs);
  return stuck === undefined ? 0 : 1 << stuck.channel;
}

/** The request that may have switched this on: the newest for this channel that had come in shortly before. */
function askedFor(witness: Witness, { source, channel, fromMs }: Switched): Asked | undefined {
  return witness.asked.findLast((one) => {
    const feeds = one.name === "low" || (one.name === "watch" && one.mode === "low");
    const drives = one.name === "drive" || one.name === "hold" || (one.name === "watch" && one.mode === "drive");
    const sinceMs = fromMs - one.arrivedAtMs;
    const fits = source === "supply" ? drives : feeds;
    return fits && one.channel === channel && sinceMs >= 0 && sinceMs < READ_WITHIN_MS + ADMITTED_WITHIN_MS;
  });
}

function mostMs(witness: Witness, { name, most }: Asked, one: Switched): number {
  if (name === "drive") return most ?? 0;
  if (name === "low") return LOW_MOST_MS;
  const kept = witness.asked.findLast(
    (asked) => asked.name === "keep" && asked.arrivedAtMs > one.fromMs && asked.arrivedAtMs < one.toMs,
  );
  return KEEP_MS + READ_WITHIN_MS + Math.max(0, (kept?.arrivedAtMs ?? one.fromMs) - one.fromMs);
}

function partsOfSupply(witness: Witness, within: Interval): number[] {
  const later = witness.supply.filter(({ fromMs }) => fromMs > within.fromMs && fromMs < within.toMs);
  return [valueAt(witness.supply, within.fromMs) ?? 0, ...later.map(({ value }) => value)];
}

/** Nothing is converted, or no interrupt runs: then the watchdog alone is left, and has a duty of its own. */
function converterDead(witness: Witness, during: Interval): boolean {
  return witness.hangs.some(({ how, ...hang }) => how !== "spins" && overlaps(hang, during));
}

function interruptsDead(witness: Witness, during: Interval): boolean {
  return witness.hangs.some(({ how, ...hang }) => how === "spins without interrupts" && overlaps(hang, during));
}

/** Whether there was a moment in which everything was off. */
function offWithin(witness: Witness, within: Interval): boolean {
  const entries = log(witness);
  return entries.some(({ atMs, relayClosed, driveMask, lowMask }, at_) => {
    const state = { fromMs: atMs, toMs: entries[at_ + 1]?.atMs ?? Number.POSITIVE_INFINITY };
    return !relayClosed && driveMask === 0 && lowMask === 0 && overlaps(state, within);
  });
}

function bits(mask: number): number {
  return mask === 0 ? 0 : (mask & 1) + bits(mask >>> 1);
}

function at(milliseconds: number): string {
  return `${milliseconds.toFixed(2)} ms`;
}

function words({ source, channel, fromMs, toMs }: Switched): string {
  return `${source} on channel ${channel} from ${at(fromMs)} to ${at(toMs)}`;
}
