import type { Clock, Timer } from "@pinwalk/host/bench/port.js";
import type { SeededRandom } from "./seeded-random.js";

/** What a bad line does to bytes on their way; each is as likely as the others when a byte is struck. */
export const everyMishap = [
  "drop",
  "double",
  "flip-bit",
  "replace",
  "noise",
  "cut",
  "garble-run",
  "repeat-run",
  "delay",
  "long-delay",
] as const;

/** Besides these, the meanest: one digit for another, so that everything but the checksum still looks right. */
export type Mishap = (typeof everyMishap)[number] | "other-digit";

const DIGIT_ZERO = 0x30;
const LONGEST_NOISE = 80;
const LONGEST_RUN = 120;
const DELAY_MS = [1, 60] as const;
const LONG_DELAY_MS = [60, 2_000] as const;

/**
 * One direction of a serial line. Bytes keep their order, whatever else becomes of them. `chancePerByte` is the
 * chance that a byte is struck by a mishap, at the present moment.
 */
export class SpoiledWire {
  mishaps = 0;
  #cutLeft = 0;
  #garbleLeft = 0;
  #lately: number[] = [];
  #freeAtMs = 0;
  #mute = false;
  #onTheWay: { readonly dueMs: number; readonly bytes: Uint8Array }[] = [];
  #timer: Timer | undefined;

  constructor(
    private readonly clock: Clock,
    private readonly random: SeededRandom,
    private readonly mishapKinds: readonly Mishap[],
    private readonly chancePerByte: () => number,
    private readonly deliver: (bytes: Uint8Array) => void,
  ) {}

  push(bytes: Uint8Array): void {
    let piece: number[] = [];
    const chance = this.chancePerByte();
    for (const byte of bytes) {
      this.#lately = [...this.#lately.slice(1 - LONGEST_RUN), byte];
      if (chance > 0 && this.random.chance(chance)) piece = this.#struck(byte, piece);
      else if (this.#cutLeft > 0) this.#cutLeft -= 1;
      else if (this.#garbleLeft > 0) {
        this.#garbleLeft -= 1;
        piece.push(this.#garbled(byte));
      } else piece.push(byte);
    }
    this.#send(piece);
  }

  /** Nothing arrives any more, not even what is on its way, and nobody is told. */
  mute(): void {
    this.#mute = true;
    this.#onTheWay = [];
    this.#timer?.cancel();
  }

  #struck(byte: number, before: number[]): number[] {
    const { random } = this;
    this.mishaps += 1;
    switch (random.pick(this.mishapKinds)) {
      case "drop":
        return before;
      case "double":
        return [...before, byte, byte];
      case "flip-bit":
        return [...before, byte ^ (1 << random.between(0, 7))];
      case "replace":
        return [...before, random.between(0, 255)];
      case "other-digit":
        return [...before, isDigit(byte) ? DIGIT_ZERO + ((byte - DIGIT_ZERO + random.between(1, 9)) % 10) : byte];
      case "noise":
        return [
          ...before,
          ...Array.from({ length: random.between(1, LONGEST_NOISE) }, () => random.between(0, 255)),
          byte,
        ];
      case "cut":
        this.#cutLeft = random.between(1, LONGEST_RUN);
        return before;
      case "garble-run":
        this.#garbleLeft = random.between(1, LONGEST_RUN);
        return [...before, this.#garbled(byte)];
      case "repeat-run":
        return [...before, byte, ...this.#lately.slice(-random.between(1, LONGEST_RUN))];
      case "delay":
        this.#holdUp(before, random.between(...DELAY_MS));
        return [byte];
      case "long-delay":
        this.#holdUp(before, random.between(...LONG_DELAY_MS));
        return [byte];
    }
  }

  #garbled(byte: number): number {
    return this.random.chance(0.5) ? byte : byte ^ (1 << this.random.between(0, 7));
  }

  #holdUp(before: number[], byMs: number): void {
    this.#send(before);
    this.#freeAtMs = Math.max(this.#freeAtMs, this.clock.nowMs()) + byMs;
  }

  #send(piece: number[]): void {
    if (piece.length === 0 || this.#mute) return;
    this.#onTheWay.push({ dueMs: this.#freeAtMs, bytes: Uint8Array.from(piece) });
    this.#deliverDue();
  }

  /** In their order: what stands behind something that is held up waits with it. */
  #deliverDue(): void {
    this.#timer?.cancel();
    this.#timer = undefined;
    for (let next = this.#onTheWay[0]; next !== undefined; next = this.#onTheWay[0]) {
      const waitMs = next.dueMs - this.clock.nowMs();
      if (waitMs > 0) {
        this.#timer = this.clock.after(waitMs, () => this.#deliverDue());
        return;
      }
      this.#onTheWay.shift();
      this.deliver(next.bytes);
    }
  }
}

function isDigit(byte: number): boolean {
  return byte >= DIGIT_ZERO && byte < DIGIT_ZERO + 10;
}
