import type { RequestFields } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { type PackedWindow, unpackWindows } from "@pinwalk/firmware-protocol/window-packing.js";
import type { AskedBench, Machine } from "./asked-bench.js";

export interface NumberedWindow extends PackedWindow {
  readonly number: number;
}

/** Starts a watch; the id of its measurement. */
export function watch(bench: AskedBench<Machine>, fields: RequestFields["watch"]): number {
  return bench.get("watch", fields).measurement;
}

/** All windows of a watch that have come in, in the order in which they did. */
export function windowsOf(bench: AskedBench<Machine>, measurement: number): NumberedWindow[] {
  return bench.pushes.flatMap(({ push }) => {
    if (push.name !== "windows" || push.fields.measurement !== measurement) return [];
    const { first, windows } = push.fields;
    return unpackWindows(windows).map((window, at) => ({ ...window, number: first + at }));
  });
}

/** Interruptions that were told, tenths of a millisecond. */
export function gapsOf(bench: AskedBench<Machine>, measurement: number): { at: number; length: number }[] {
  return bench.pushes.flatMap(({ push }) =>
    push.name === "gap" && push.fields.measurement === measurement ? [push.fields] : [],
  );
}

/** Goes on with the watch for so long, as a host that follows it. */
export function follow(bench: AskedBench<Machine>, measurement: number, milliseconds: number): void {
  const end = bench.nowMs + milliseconds;
  while (end - bench.nowMs > 1e-6) {
    bench.get("keep", { measurement });
    bench.run(Math.min(300, Math.max(0, end - bench.nowMs)));
  }
}
