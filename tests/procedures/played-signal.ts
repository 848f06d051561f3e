import type { SignalWindow } from "@pinwalk/host/procedures/listening/signal-window.js";

/** Volts at a moment, milliseconds. */
export type Signal = (atMs: number) => number;

/** Between two conversions of a watched wire (PROTOCOL.md, "Watching"). */
const sampleMs = 0.21;
/** The limit through which edges are counted. */
const belowVolts = 3;

/** What a watch would say of a signal: windows of 2 ms, sampled, without noise unless `noise` gives some. */
export function playedWindows(
  signal: Signal,
  lengthMs: number,
  { startMs = 0, noise = () => 0 }: { readonly startMs?: number; readonly noise?: () => number } = {},
): SignalWindow[] {
  const windows: SignalWindow[] = [];
  let atMs = startMs + sampleMs / 2;
  let before: number | undefined;
  for (let index = 0; index < lengthMs / 2; index += 1) {
    const fromMs = startMs + index * 2;
    const values: number[] = [];
    let rises = 0;
    for (; atMs < fromMs + 2; atMs += sampleMs) {
      const volts = signal(atMs) + noise();
      if (before !== undefined && before < belowVolts && volts >= belowVolts) rises += 1;
      before = volts;
      values.push(volts);
    }
    const meanVolts = values.reduce((sum, one) => sum + one, 0) / values.length;
    const [minVolts, maxVolts] = [Math.min(...values), Math.max(...values)];
    windows.push({ atMs: fromMs, lengthMs: 2, minVolts, meanVolts, maxVolts, rises });
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
