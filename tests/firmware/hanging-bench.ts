import { BenchBoard } from "@pinwalk/host/bench/virtual/board/bench-board.js";
import { Timeline } from "@pinwalk/host/bench/virtual/board/timeline.js";
import { ATMEGA328P, cyclesOfMs, msOfCycles } from "@pinwalk/host/bench/virtual/chip/atmega328p.js";
import { parseHexImage } from "@pinwalk/host/bench/virtual/chip/hex-image.js";
import { imageHex, type Machine } from "./asked-bench.js";
import type { LoadedSide } from "./loaded-side.js";

/** Opcodes of the AVR instruction set manual (DS40002198): SLEEP, and RJMP to itself. */
const SLEEP = 0x9588;
const RJMP_TO_ITSELF = 0xcfff;

/** An emulated bench whose main loop can be made to hang at its sleep, interrupts going on. */
export class HangingBench implements Machine {
  readonly #timeline = new Timeline();
  readonly #program = parseHexImage(imageHex, ATMEGA328P.flashBytes);
  readonly #sleepAt = this.#program.indexOf(SLEEP);
  readonly #afterSleep = this.#program[this.#sleepAt + 1] ?? 0;
  readonly #board: BenchBoard;
  #sent: number[] = [];

  constructor(side: LoadedSide) {
    if (this.#sleepAt === -1) throw new Error("the image has no SLEEP");
    this.#board = new BenchBoard({
      program: this.#program,
      side,
      timeline: this.#timeline,
      seed: 1,
      supplyVolts: 12.8,
      ambientC: 20,
      transmitted: (byte) => this.#sent.push(byte),
    });
    this.#timeline.onSooner(() => this.#board.chip.stopBefore(this.#timeline.nextCycles));
  }

  /** From its next waking on the main loop runs in a circle, or no longer. */
  hang(hanging: boolean): void {
    this.#program[this.#sleepAt + 1] = hanging ? RJMP_TO_ITSELF : this.#afterSleep;
  }

  get nowMs(): number {
    return msOfCycles(this.#board.chip.cycles);
  }

  get outputs() {
    return this.#board.log;
  }

  get bytesWaiting(): number {
    return this.#board.chip.bytesWaiting;
  }

  send(bytes: Uint8Array | string): void {
    this.#board.chip.send(typeof bytes === "string" ? Buffer.from(bytes, "latin1") : bytes);
  }

  takeSent(): Uint8Array {
    const bytes = Uint8Array.from(this.#sent);
    this.#sent = [];
    return bytes;
  }

  runUntilMs(untilMs: number): void {
    const until = cyclesOfMs(untilMs);
    const { chip } = this.#board;
    while (chip.cycles < until) {
      chip.run(Math.min(until, this.#timeline.nextCycles));
      this.#timeline.runDue(chip.cycles);
    }
  }
}
