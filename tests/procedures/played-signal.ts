import type { SignalWindow } from "@pinwalk/host/procedures/listening/signal-window.js";

/** Volts at a moment, milliseconds. */
export type Signal = (atMs: number) => number;

/** Between two conversions of a converter that looks at one wire (from memory: 104 µs and the wait for the multiplexer). */
const sampleMs = 0.1;

/** What a watch would say of a signal: windows of 2 ms, sampled, without noise unless `noise` gives some. */
export function playedWindows(
  signal: Signal,
  lengthMs: number,
  { startMs = 0, noise = () => 0 }: { readonly startMs?: number; readonly noise?: () => number } = {},
): SignalWindow[] {
  const windows: SignalWindow[] = [];
  const perWindow = Math.round(2 / sampleMs);
  for (let index = 0; index < lengthMs / 2; index += 1) {
    const atMs = startMs + index * 2;
    const values = Array.from({ length: perWindow }, (_, at) => signal(atMs + (at + 0.5) * sampleMs) + noise());
    windows.push({
      atMs,
      lengthMs: 2,
      minVolts: Math.min(...values),
      meanVolts: values.reduce((sum, one) => sum + one, 0) / perWindow,
      maxVolts: Math.max(...values),
    });
  }
  return windows;
}

/** On and off by turns, beginning on at `fromMs`; dark before and after. */
export function turns(fromMs: number, durationsMs: readonly number[], volts = 12.6): Signal {
  let on = true;
  let atMs = fromMs;
  const times = durationsMs.flatMap((duration) => {
    const time = on ? [{ fromMs: atMs, toMs: atMs + duration }] : [];
    on = !on;
    atMs += duration;
    return time;
  });
  return (now) => (times.some((time) => time.fromMs <= now && now < time.toMs) ? volts : 0);
}

/** A flasher that runs from `fromMs` on, so many cycles. */
export function flasher(fromMs: number, onMs: number, offMs: number, cycles: number): Signal {
  return turns(
    fromMs,
    Array.from({ length: cycles * 2 }, (_, index) => (index % 2 === 0 ? onMs : offMs)),
  );
}

/** Pulses of a control module, for ever. */
export function pulses(hertz: number, duty: number, volts = 12.6, phaseMs = 0): Signal {
  const cycleMs = 1000 / hertz;
  return (now) => ((((now + phaseMs) % cycleMs) + cycleMs) % cycleMs < duty * cycleMs ? volts : 0);
}

/** The highest of several, as diodes join them. */
export function joined(...signals: readonly Signal[]): Signal {
  return (now) => Math.max(...signals.map((signal) => signal(now)));
}
