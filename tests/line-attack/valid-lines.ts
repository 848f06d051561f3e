import { maxRequestBytes } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { LineSplitter } from "@pinwalk/firmware-protocol/line-splitter.js";
import { decodeRequest } from "@pinwalk/firmware-protocol/request-line.js";
import type { OutputState } from "@pinwalk/host/bench/virtual/output-log.js";

/** 8N1 at 250000 baud. */
const BYTE_MS = 10 / 250;
const SILENCE_MS = 1_000;
/**
 * How much later than one second after the last byte of a line an output may be off: the bench counts from the moment at which it
 * reads the line, which a full transmit ring (512 bytes at 25 bytes a millisecond) may put off, and its tick is 1 ms.
 */
export const SILENCE_GRACE_MS = 512 / 25 + 1;

/** When each line with a good checksum was complete at the bench, from the bytes that were put on its line. */
export class ValidLines {
  readonly atMs: number[] = [];
  readonly #splitter = new LineSplitter(maxRequestBytes);
  #lineFreeAtMs = 0;

  /** Returns when the last of the bytes is at the bench. */
  sent(bytes: Uint8Array, nowMs: number): number {
    for (const byte of bytes) {
      this.#lineFreeAtMs = Math.max(this.#lineFreeAtMs, nowMs) + BYTE_MS;
      for (const line of this.#splitter.push(Uint8Array.of(byte))) {
        if (line.kind === "line" && decodeRequest(line.bytes).kind !== "garbled") this.atMs.push(this.#lineFreeAtMs);
      }
    }
    return this.#lineFreeAtMs;
  }

  /** The longest, in milliseconds, that anything was on after the last line that counted as a sign of life. */
  longestOnInSilenceMs(outputs: readonly OutputState[], endMs: number): number {
    let longest = 0;
    for (const [at, state] of outputs.entries()) {
      if (!isOn(state)) continue;
      const offAtMs = outputs[at + 1]?.atMs ?? endMs;
      // Within one state, silence is longest just before the next line, or at its end.
      for (const momentMs of [offAtMs, ...this.atMs.filter((lineMs) => lineMs > state.atMs && lineMs < offAtMs)]) {
        const last = this.atMs.findLast((lineMs) => lineMs < momentMs) ?? 0;
        longest = Math.max(longest, momentMs - last);
      }
    }
    return longest;
  }
}

/** Whether the bench puts, or could put, anything on a pin. */
export function isOn({ relayClosed, driveMask, lowMask }: OutputState): boolean {
  return relayClosed || driveMask !== 0 || lowMask !== 0;
}

export function isSilentTooLong(milliseconds: number): boolean {
  return milliseconds > SILENCE_MS + SILENCE_GRACE_MS;
}
