import { readSignal } from "@pinwalk/host/procedures/listening/read-signal.js";
import { wireFunctionWords } from "@pinwalk/host/procedures/listening/signal-words.js";
import { type SaidSwitch, wireFunctions } from "@pinwalk/host/procedures/listening/wire-function.js";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { flasher, joined, playedWindows, pulses, type Signal, turns } from "./played-signal.js";

/** Switches functions one after the other, each for 4 s with 4 s between; gives what was said and when each begins. */
function oneByOne(...names: readonly string[]): SaidSwitch[] {
  return names.flatMap((name, index) => [
    { atMs: 4000 + index * 8000, on: true, function: name },
    { atMs: 8000 + index * 8000, on: false, function: name },
  ]);
}

const hear = (signal: Signal, said: readonly SaidSwitch[]) =>
  wireFunctions(readSignal(playedWindows(signal, 12_000 + (said.at(-1)?.atMs ?? 0))), said);

describe("which function a wire carries", () => {
  it("is the one that it follows, in whatever order they are switched, and the others are excluded", () => {
    const functions = ["tail", "stop", "left-turn", "right-turn"];
    fc.assert(
      fc.property(
        fc.shuffledSubarray(functions, { minLength: 4 }),
        fc.nat({ max: 3 }),
        fc.nat({ max: 900 }),
        (order, which, lateMs) => {
          const carried = order[which] ?? "";
          const signal = turns(4000 + which * 8000 + lateMs, [4000 - lateMs + 300]);
          const found = hear(signal, oneByOne(...order));
          expect(found.candidates.map((one) => one.functions)).toEqual([[carried]]);
          expect([...found.excluded].sort()).toEqual(functions.filter((name) => name !== carried).sort());
        },
      ),
      { numRuns: 15 },
    );
  });

  it("is a turn signal although that is dark half of its time", () => {
    const found = hear(flasher(12_300, 350, 350, 5), oneByOne("tail", "left-turn"));
    expect(found.candidates.map((one) => one.functions)).toEqual([["left-turn"]]);
  });

  it("is stop and turn together on a wire that carries both", () => {
    const wire = joined(turns(4200, [4000]), flasher(12_200, 350, 350, 6));
    const found = hear(wire, oneByOne("stop", "left-turn", "tail"));
    expect(found.candidates[0]?.functions).toEqual(["stop", "left-turn"]);
    expect(found.excluded).toEqual(["tail"]);
  });

  it("stays open between two that were always switched together", () => {
    const said = ["tail", "charge"].flatMap((name) => [
      { atMs: 4000, on: true, function: name },
      { atMs: 9000, on: false, function: name },
    ]);
    const found = hear(
      turns(4100, [5000]),
      said.toSorted((a, b) => a.atMs - b.atMs),
    );
    expect(found.candidates.map((one) => one.functions)).toEqual([["tail"], ["charge"]]);
    expect(wireFunctionWords(found)).toContain("switch one without the other");
  });

  it("is none of them where the wire does something else", () => {
    const found = hear(turns(9500, [1000, 500, 1200]), oneByOne("tail", "stop"));
    expect(found.candidates).toEqual([]);
    expect(wireFunctionWords(found)).toMatch(/follows none/);
  });

  it("is guessed from the pattern where nothing was said, and never as one for sure without a word to say so", () => {
    const guess = (signal: Signal) => hear(signal, []).candidates.map((one) => one.functions.join("+"));
    expect(guess(flasher(500, 350, 350, 10))).toEqual(["turn", "hazard"]);
    expect(guess(joined(pulses(100, 0.2), turns(2000, [3000])))).toEqual(["tail+stop"]);
    expect(guess(() => 0)).toEqual([]);
    expect(wireFunctionWords(hear(flasher(500, 350, 350, 10), []))).toMatch(/could be .*say what you switch/);
  });
});
