import type { PlayedPin, Waveform } from "../bench/virtual/vehicle/played-signal.js";
import { wrongUse } from "./command-failure.js";

/** What `--play` takes, for its help. */
export const playForm = "<PIN=WAVE>";

export const playHelp = `
Waves that the emulated tow vehicle plays, with --bench virtual: steady · flashing,PER_MINUTE,LIT_SHARE ·
pulses,HERTZ,DUTY · pedal,ON_MS,OFF_MS. Several of one pin join, as a dimmed tail and a flasher on one wire do.`;

const numbersByKind = { steady: 0, flashing: 2, pulses: 2, pedal: 2 } as const;

/** Reads `--play PIN=WAVE` options. Throws a wrong-use failure with the form for what it cannot read. */
export function readPlayed(texts: readonly string[]): readonly PlayedPin[] {
  return texts.map((text) => {
    const [, pin = "", kind = "", rest = ""] = /^([^=]+)=([a-z]+)((?:,[\d.]+)*)$/.exec(text) ?? [];
    const numbers = rest.split(",").slice(1).map(Number);
    const wanted = Object.entries(numbersByKind).find(([name]) => name === kind)?.[1];
    if (numbers.length !== wanted || numbers.some(Number.isNaN)) {
      throw wrongUse(
        `--play "${text}" cannot be read. Examples: TM=steady, LT=flashing,90,0.5, TM=pulses,120,0.15, LT=pedal,700,400.`,
      );
    }
    return { pin, waveform: waveformOf(kind as Waveform["kind"], numbers) };
  });
}

function waveformOf(kind: Waveform["kind"], [first = 0, second = 0]: readonly number[]): Waveform {
  switch (kind) {
    case "steady":
      return { kind };
    case "flashing":
      return { kind, perMinute: first, onShare: second };
    case "pulses":
      return { kind, hertz: first, duty: second };
    case "pedal":
      return { kind, onMs: first, offMs: second };
  }
}
