import { BenchBoard } from "@pinwalk/host/bench/virtual/board/bench-board.js";
import { Timeline } from "@pinwalk/host/bench/virtual/board/timeline.js";
import { ATMEGA328P, cyclesOfMs, msOfCycles, type ResetCause } from "@pinwalk/host/bench/virtual/chip/atmega328p.js";
import { parseHexImage } from "@pinwalk/host/bench/virtual/chip/hex-image.js";
import type { OutputState } from "@pinwalk/host/bench/virtual/output-log.js";
import { imageHex } from "../firmware/asked-bench.js";
import type { LoadedSide } from "../firmware/loaded-side.js";

/** Opcodes of the AVR instruction set manual (DS40002198): SLEEP, CLI, RETI, and RJMP to itself. */
const SLEEP = 0x9588;
const CLI = 0x94f8;
const RETI = 0x9518;
const RJMP_TO_ITSELF = 0xcfff;
/** Word address of the converter's interrupt vector (data sheet, table 12-6: vector 22, two words each). */
const ADC_VECTOR = 21 * 2;
const FINE_STEP_CYCLES = 40;
const LATCH_PATIENCE_MS = 5;

/** How the program is made to stand still: its main loop turns in a circle, with or without interrupts, or its converter dies. */
export type Hang = "spins" | "spins without interrupts" | "has a dead converter";

/** The firmware on its board, with a hand in its flash and an eye on the chip's own pins. */
export class DutyBench {
  readonly #timeline = new Timeline();
  readonly #program = parseHexImage(imageHex, ATMEGA328P.flashBytes);
  readonly #intact = this.#program.slice();
  readonly #board: BenchBoard;
  readonly #side: LoadedSide;
  #sent: number[] = [];
  #latchedAtMs: number | undefined;
  /** For each time that the fast limit latched with the firmware's own outputs on: milliseconds until those were off too. */
  readonly offAfterLatchMs: { readonly atMs: number; readonly tookMs: number }[] = [];

  constructor(side: LoadedSide, seed: number) {
    this.#side = side;
    this.#board = new BenchBoard({
      program: this.#program,
      side,
      timeline: this.#timeline,
      seed,
      supplyVolts: 12.8,
      ambientC: 20,
      transmitted: (byte) => this.#sent.push(byte),
    });
    const { chip, log } = this.#board;
    this.#timeline.onSooner(() => chip.stopBefore(this.#timeline.nextCycles));
    let wasTripped = false;
    log.onChange(({ atMs, limitTripped }) => {
      if (limitTripped && !wasTripped) {
        this.#latchedAtMs = atMs;
        chip.stopBefore(0);
      }
      wasTripped = limitTripped;
    });
  }

  get nowMs(): number {
    return msOfCycles(this.#board.chip.cycles);
  }

  get outputs(): { readonly entries: readonly OutputState[]; readonly last: OutputState } {
    return this.#board.log;
  }

  send(bytes: Uint8Array): void {
    this.#board.chip.send(bytes);
  }

  takeSent(): Uint8Array {
    return Uint8Array.from(this.#sent.splice(0));
  }

  runUntilMs(untilMs: number): void {
    const until = cyclesOfMs(untilMs);
    const { chip } = this.#board;
    while (chip.cycles < until) {
      chip.run(Math.min(until, this.#timeline.nextCycles));
      this.#timeline.runDue(chip.cycles);
      if (this.#latchedAtMs !== undefined) this.#watchLatch(this.#latchedAtMs);
    }
  }

  /** Runs one instruction after the other, with a look after each. */
  stepUntilMs(untilMs: number, look: () => void): void {
    const { chip } = this.#board;
    while (this.nowMs < untilMs) {
      chip.run(chip.cycles + 1);
      this.#timeline.runDue(chip.cycles);
      look();
    }
  }

  reset(cause: ResetCause): void {
    this.#board.chip.reset(cause);
  }

  setSupply(volts: number): void {
    this.#board.setSupply(volts);
  }

  setStuckChannels(mask: number): void {
    this.#board.setStuck(mask);
  }

  /** What hangs on the connector has changed: the comparator looks at once. */
  loadsChanged(): void {
    this.#board.plugIn(this.#side);
  }

  hang(how: Hang): void {
    const afterSleep = this.#program.indexOf(SLEEP) + 1;
    if (afterSleep === 0) throw new Error("the image has no SLEEP");
    if (how === "spins") this.#program[afterSleep] = RJMP_TO_ITSELF;
    else if (how === "has a dead converter") this.#program[ADC_VECTOR] = RETI;
    else this.#program.set([CLI, RJMP_TO_ITSELF], afterSleep);
  }

  /** The program is what it was; where it stands still it goes on doing so until a reset. */
  mend(): void {
    this.#program.set(this.#intact);
  }

  /** Whether the chip itself, whatever the hardware latch does, has relay and output enable off. */
  get chipIsOff(): boolean {
    const { chip } = this.#board;
    return chip.pin("B", 1) !== "low" && chip.pin("C", 5) !== "high";
  }

  #watchLatch(atMs: number): void {
    this.#latchedAtMs = undefined;
    if (this.chipIsOff) return;
    const { chip } = this.#board;
    const giveUp = chip.cycles + cyclesOfMs(LATCH_PATIENCE_MS);
    while (!this.chipIsOff && chip.cycles < giveUp) {
      chip.run(chip.cycles + FINE_STEP_CYCLES);
      this.#timeline.runDue(chip.cycles);
    }
    this.offAfterLatchMs.push({ atMs, tookMs: this.nowMs - atMs });
  }
}
