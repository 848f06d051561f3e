import type { AnalogSide } from "./board/analog-side.js";
import { BenchBoard } from "./board/bench-board.js";
import type { FrontEndErrors } from "./board/front-end-errors.js";
import { Timeline } from "./board/timeline.js";
import { ATMEGA328P, cyclesOfMs, msOfCycles, type ResetCause } from "./chip/atmega328p.js";
import { parseHexImage } from "./chip/hex-image.js";
import type { OutputLog } from "./output-log.js";

export interface EmulatedBenchOptions {
  /** Text of the firmware's Intel HEX file. */
  readonly imageHex: string;
  /** What hangs on the connector. */
  readonly side: AnalogSide;
  /** Start of the random numbers: equal seeds give equal bytes at equal cycles. Default 1. */
  readonly seed?: number;
  /** Supply before any load. Default 12.8 V. */
  readonly supplyVolts?: number;
  /** Default 20 °C. */
  readonly ambientC?: number;
  /** Contents of the EEPROM; erased if absent. */
  readonly eeprom?: Uint8Array;
  /** How its board differs from the design; the low-current source is the side's. */
  readonly frontEndErrors?: FrontEndErrors;
}

const LINE_FEED = 0x0a;

/**
 * A whole bench, in this thread, whose time passes only while it is told to run. Whoever needs cycle-exact answers
 * uses it directly; the worker behind `openVirtualBench` and `bench-on-pty` are two paces put on it.
 *
 * Throws `VirtualBenchError` `bad-image` when the image is not a whole Intel HEX file.
 */
export class EmulatedBench {
  readonly #timeline = new Timeline();
  readonly #board: BenchBoard;
  #sent: number[] = [];
  #linesSent = 0;
  #stopAtLine = false;

  constructor(options: EmulatedBenchOptions) {
    this.#board = new BenchBoard({
      program: parseHexImage(options.imageHex, ATMEGA328P.flashBytes),
      side: options.side,
      timeline: this.#timeline,
      seed: options.seed ?? 1,
      supplyVolts: options.supplyVolts ?? 12.8,
      ambientC: options.ambientC ?? 20,
      transmitted: (byte) => this.#transmitted(byte),
      ...(options.eeprom === undefined ? {} : { eeprom: options.eeprom }),
      ...(options.frontEndErrors === undefined ? {} : { frontEndErrors: options.frontEndErrors }),
    });
    this.#timeline.onSooner(() => this.#board.chip.stopBefore(this.#timeline.nextCycles));
  }

  /** CPU cycles since power-up. */
  get cycles(): number {
    return this.#board.chip.cycles;
  }

  /** Emulated milliseconds since power-up. */
  get nowMs(): number {
    return msOfCycles(this.cycles);
  }

  /** Every change of the outputs, with its time. */
  get outputs(): OutputLog {
    return this.#board.log;
  }

  /** The controller from inside, live: for measuring its stack and its interrupts. */
  get inside(): { readonly programCounter: number; readonly memory: Uint8Array; readonly asleep: boolean } {
    return this.#board.chip;
  }

  /** Contents of the EEPROM, live. */
  get eeprom(): Uint8Array {
    return this.#board.chip.eeprom.memory;
  }

  /** Puts bytes on the line to the bench; they arrive at the line's rate. */
  send(bytes: Uint8Array | string): void {
    this.#board.chip.send(typeof bytes === "string" ? Buffer.from(bytes, "latin1") : bytes);
  }

  /** Bytes on their way to the bench. */
  get bytesWaiting(): number {
    return this.#board.chip.bytesWaiting;
  }

  /** Takes what the bench has sent since the last call. */
  takeSent(): Uint8Array {
    const bytes = Uint8Array.from(this.#sent);
    this.#sent = [];
    return bytes;
  }

  /** Runs to the given moment, or a few cycles beyond; does nothing if that is past. */
  runUntilMs(untilMs: number): void {
    this.#run(cyclesOfMs(untilMs), false);
  }

  runForMs(milliseconds: number): void {
    this.runUntilMs(this.nowMs + milliseconds);
  }

  /** Runs until the bench has sent a whole line, at most to the given moment. Says whether a line came. */
  runUntilLine(untilMs: number): boolean {
    const before = this.#linesSent;
    this.#run(cyclesOfMs(untilMs), true);
    return this.#linesSent !== before;
  }

  /** Presses or releases the start button. */
  pressStart(pressed: boolean): void {
    this.#board.pressStart(pressed);
  }

  /** Presses or releases the stop button, which breaks the relay coil's line. */
  pressStop(pressed: boolean): void {
    this.#board.pressStop(pressed);
  }

  /** Changes the supply's voltage before any load. */
  setSupply(volts: number): void {
    this.#board.setSupply(volts);
  }

  /** Lets the switches of these drive channels conduct for ever (bit n for channel n); 0 mends them all. */
  setStuckChannels(mask: number): void {
    this.#board.setStuck(mask);
  }

  /** Puts something else on the connector. */
  plugIn(side: AnalogSide): void {
    this.#board.plugIn(side);
  }

  /** Resets the controller: power gone and back, its reset pin, a dip of the supply, or the watchdog. */
  reset(cause: ResetCause): void {
    this.#board.chip.reset(cause);
  }

  #run(untilCycles: number, stopAtLine: boolean): void {
    const { chip } = this.#board;
    const linesBefore = this.#linesSent;
    this.#stopAtLine = stopAtLine;
    while (chip.cycles < untilCycles && !(stopAtLine && this.#linesSent !== linesBefore)) {
      chip.run(Math.min(untilCycles, this.#timeline.nextCycles));
      this.#timeline.runDue(chip.cycles);
    }
    this.#stopAtLine = false;
  }

  #transmitted(byte: number): void {
    this.#sent.push(byte);
    if (byte !== LINE_FEED) return;
    this.#linesSent += 1;
    if (this.#stopAtLine) this.#board.chip.stopBefore(this.cycles);
  }
}
