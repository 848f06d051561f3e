import type { LitTime } from "./lamp-activity.js";
import type { SignalReading } from "./read-signal.js";

/** What the person said: a function of the vehicle was switched on or off now. Milliseconds of the bench's clock. */
export interface SaidSwitch {
  readonly atMs: number;
  readonly on: boolean;
  /** As the person calls it: `tail`, `stop`, `left-turn`, … */
  readonly function: string;
}

/** Which functions a wire carries, best first. */
export interface WireFunctions {
  /** From what was said, or from the pattern alone. */
  readonly from: "said" | "pattern";
  readonly candidates: readonly FunctionCandidate[];
  /** Functions that were switched while the wire did nothing with them. */
  readonly excluded: readonly string[];
}

export interface FunctionCandidate {
  /** All of these together: a wire may carry several. */
  readonly functions: readonly string[];
  /** Share of the time in which the wire did what these functions make it do, in the situation that they explain worst; absent for a guess by pattern. */
  readonly agreement?: number;
}

/** Between saying and doing lies a person; so long around each word the wire may be either way (common practice, no source). */
const slackMs = 1500;
/** A dark pause of a flasher, at 20 flashes a minute the longest, is not "off". */
const flasherPauseMs = 1500;
const leastAgreement = 0.95;
const stepMs = 20;
/** A shorter pause between two words says nothing. */
const leastSituationMs = 300;
const mostTogether = 3;

/** The person has left the switches alone for a while: what was on then, and how much of the time the wire was lit. */
interface Situation {
  readonly on: ReadonlySet<string>;
  litSteps: number;
  steps: number;
}

/**
 * Tells which of the functions that a person switched, in any order, the wire carries: the smallest set that explains every
 * situation, lit when one of them was on and dark when none was. Several that explain as much are all given, as the
 * switching did not tell them apart. With nothing said, the pattern gives what it can.
 */
export function wireFunctions(reading: SignalReading, said: readonly SaidSwitch[]): WireFunctions {
  const names = [...new Set(said.map((one) => one.function))];
  if (names.length === 0) return { from: "pattern", candidates: byPattern(reading), excluded: [] };
  const situations = situationsOf(reading, said);
  const fitting = subsets(names)
    .map((functions) => ({ functions, agreement: agreement(situations, functions) }))
    .filter((one) => one.agreement >= leastAgreement);
  const fewest = Math.min(...fitting.map(({ functions }) => functions.length));
  const candidates = fitting
    .filter(({ functions }) => functions.length === fewest)
    .toSorted((a, b) => b.agreement - a.agreement);
  const isExcluded = (name: string): boolean =>
    situations.some(
      ({ on, litSteps, steps }) => on.size === 1 && on.has(name) && litSteps / steps < 1 - leastAgreement,
    );
  return { from: "said", candidates, excluded: names.filter(isExcluded) };
}

/** Pauses of a flasher closed, so that "left turn is on" is one time. */
function bridged(lit: readonly LitTime[]): readonly LitTime[] {
  const result: LitTime[] = [];
  for (const time of lit) {
    const previous = result.at(-1);
    if (previous === undefined || time.fromMs - previous.toMs > flasherPauseMs) result.push(time);
    else result[result.length - 1] = { ...previous, toMs: time.toMs };
  }
  return result;
}

function situationsOf(reading: SignalReading, said: readonly SaidSwitch[]): readonly Situation[] {
  const lit = bridged(reading.lit);
  const situations = new Map<string, Situation>();
  for (let atMs = reading.fromMs + stepMs / 2; atMs < reading.toMs; atMs += stepMs) {
    if (said.some((one) => Math.abs(one.atMs - atMs) < slackMs)) continue;
    const on = new Set<string>();
    for (const one of said) {
      if (one.atMs > atMs) continue;
      if (one.on) on.add(one.function);
      else on.delete(one.function);
    }
    const key = JSON.stringify([...on].toSorted());
    const situation = situations.get(key) ?? { on, litSteps: 0, steps: 0 };
    situations.set(key, situation);
    situation.steps += 1;
    if (lit.some((time) => time.fromMs <= atMs && atMs < time.toMs)) situation.litSteps += 1;
  }
  return [...situations.values()].filter(({ steps }) => steps * stepMs >= leastSituationMs);
}

/** Every set of one to three functions. */
function subsets(names: readonly string[]): readonly (readonly string[])[] {
  let sets: string[][] = [[]];
  for (const name of names) {
    sets = [...sets, ...sets.filter((set) => set.length < mostTogether).map((set) => [...set, name])];
  }
  return sets.filter((set) => set.length > 0);
}

/** Share of the worst explained situation; 0 as long as the functions were not seen both on and off. */
function agreement(situations: readonly Situation[], functions: readonly string[]): number {
  let least = 1;
  const seen = { on: false, off: false };
  for (const { on, litSteps, steps } of situations) {
    const wanted = functions.some((name) => on.has(name));
    seen[wanted ? "on" : "off"] = true;
    least = Math.min(least, (wanted ? litSteps : steps - litSteps) / steps);
  }
  return seen.on && seen.off ? least : 0;
}

/** What a pattern alone tells: never one function for sure. */
function byPattern({ layers }: SignalReading): readonly FunctionCandidate[] {
  const kinds = new Set(layers.flatMap(({ parts }) => parts.map(({ kind }) => kind)));
  const isTwofold = layers.length > 1;
  if (layers.length === 0) return [];
  if (kinds.has("flashing")) {
    if (isTwofold) return [{ functions: ["tail", "turn"] }];
    return kinds.has("switched")
      ? [{ functions: ["stop", "turn"] }]
      : [{ functions: ["turn"] }, { functions: ["hazard"] }];
  }
  if (isTwofold) return [{ functions: ["tail", "stop"] }];
  if (kinds.has("switched")) return [{ functions: ["stop"] }, { functions: ["reverse"] }, { functions: ["tail"] }];
  return [{ functions: ["tail"] }, { functions: ["charge"] }];
}
