import { normalFlashesPerMinute } from "./flash-rate.js";
import type { PulseWidth, SignalLayer, SignalPart, SignalReading } from "./read-signal.js";
import type { WireFunctions } from "./wire-function.js";

const percent = (share: number): string => `${Math.round(share * 100)} %`;
const wholeMs = (milliseconds: number): string => `${Math.round(milliseconds)} ms`;

/** What a wire does, in sentences for a person; the first says it, the others what to bear in mind. */
export function signalWords({ layers, onVolts = 0 }: SignalReading): readonly string[] {
  if (layers.length === 0) return ["Nothing: the wire carries no signal."];
  const volts = `${onVolts.toFixed(1)} V`;
  const [first, ...others] = layers.map((layer) => layerWords(layer, volts));
  const sentence = [first, ...others].join("; ");
  const notes = [...new Set(layers.flatMap((layer) => [...pulseNotes(layer), ...layer.parts.flatMap(partNotes)]))];
  return [`${sentence.charAt(0).toUpperCase()}${sentence.slice(1)}.`, ...notes];
}

function layerWords({ level, pulses, parts }: SignalLayer, volts: string): string {
  const height = pulses === undefined ? `at ${volts}` : `${pulseWords(pulses)} of ${volts}`;
  const name = level === "only" ? "" : level === "dim" ? "dimmed: " : "full on: ";
  const doing = parts.map(partWords).join(", and ");
  return `${name}${doing === "" ? "on now and then" : doing}, ${height}`;
}

function pulseWords({ hertz, duty }: PulseWidth): string {
  const rate = hertz === undefined ? "faster than 200 Hz" : `${Math.round(hertz)} Hz`;
  return `pulse-width modulated (${rate}, on ${percent(duty)} of the time)`;
}

function partWords(part: SignalPart): string {
  switch (part.kind) {
    case "steady":
      return "steady";
    case "flashing": {
      const { perMinute, onMs, onShare } = part.rate;
      return `flashing ${perMinute.toFixed(1)} times a minute, lit ${wholeMs(onMs)} (${percent(onShare)})`;
    }
    case "switched":
      return `switched on ${part.times === 1 ? "once" : `${part.times} times`}, ${part.onNow ? "on" : "off"} now`;
  }
}

function partNotes(part: SignalPart): readonly string[] {
  if (part.kind !== "flashing") return [];
  const { perMinute, perMinuteByTime, settled, verdict } = part.rate;
  const { least, most } = normalFlashesPerMinute;
  const notes: string[] = [];
  if (verdict !== "normal") {
    const cause =
      verdict === "fast" ? "often a lamp that is out or too light a load" : "often too heavy a load or a weak flasher";
    notes.push(`That is too ${verdict}: normal is ${least} to ${most} a minute; ${cause}.`);
  }
  if (Math.abs(perMinute - perMinuteByTime) >= 0.5) {
    notes.push(
      `The flasher is uneven: the mean of the single cycles is ${perMinute.toFixed(1)} a minute and decides; cycles by time make ${perMinuteByTime.toFixed(1)}.`,
    );
  }
  if (!settled) notes.push("Fewer than eight cycles were heard: let it flash longer for a rate that counts.");
  return notes;
}

function pulseNotes({ pulses }: SignalLayer): readonly string[] {
  if (pulses === undefined) return [];
  return [
    "The vehicle dims this lamp by pulses from a control module, which watches its lamps: a plain diode joint may upset it. Follow the vehicle maker's wiring information, or take the signal from elsewhere.",
  ];
}

/** Which function the wire carries, in one sentence. */
export function wireFunctionWords({ from, candidates, excluded }: WireFunctions): string {
  const names = candidates.map(({ functions }) => functions.join(" and "));
  const not = excluded.length === 0 ? "" : ` It does not follow ${excluded.join(", ")}.`;
  const [only] = names;
  if (only === undefined) {
    if (from === "said" && excluded.length > 0) return `It follows none of the functions that were switched.${not}`;
    return from === "said"
      ? "Nothing can be told yet: leave each function on for a few seconds, and then off."
      : "Nothing can be told yet: switch the vehicle's functions on and off.";
  }
  if (from === "pattern") return `By its pattern it could be ${names.join(", or ")}; say what you switch, to be sure.`;
  if (names.length === 1) return `It carries ${only}.${not}`;
  return `It carries ${names.join(", or ")}: switch one without the other to tell them apart.${not}`;
}
