import { avrInstruction, CPU, EEPROMMemoryBackend, PinState } from "avr8js";
import { ATMEGA328P, type PortLetter, type ResetCause } from "./atmega328p.js";
import { attachPeripherals, type ChipSurroundings, type Ports } from "./chip-peripherals.js";
import { internalsOf } from "./emulator-internals.js";
import { ReceiveQueue } from "./receive-queue.js";
import { asleepUntil, fallsAsleep } from "./sleep.js";

export interface ChipOptions {
  readonly program: Uint16Array;
  readonly surroundings: ChipSurroundings;
  /** Cycles that one character takes on the wire. */
  readonly characterCycles: number;
  /** What SRAM holds at power-up, where silicon holds anything: one byte per call. */
  readonly powerUpByte: () => number;
  /** Contents of the EEPROM, erased if absent. */
  readonly eeprom?: Uint8Array;
  /** Volts on AREF, and on AVCC. */
  readonly arefVolts: number;
  readonly avccVolts: number;
}

const SEI = 0x9478;
const SLEEP = 0x9588;

/**
 * An ATmega328P that executes a firmware image, cycle by cycle.
 *
 * A reset, from whatever cause, builds the emulator's CPU and peripherals anew (its own reset leaves half of them as they were);
 * EEPROM, cycle count, input levels and bytes on the wire go on, and SRAM does unless the power went.
 */
export class Chip {
  readonly eeprom = new EEPROMMemoryBackend(ATMEGA328P.eepromBytes);
  readonly #options: ChipOptions;
  readonly #received: ReceiveQueue;
  readonly #inputs = new Map<string, { port: PortLetter; index: number; high: boolean }>();
  #cpu: CPU;
  #ports: Ports;
  #limitCycles = 0;
  #asleep = false;
  #resetAsked: ResetCause | undefined;

  constructor(options: ChipOptions) {
    this.#options = options;
    if (options.eeprom !== undefined) this.eeprom.memory.set(options.eeprom);
    this.#received = new ReceiveQueue(options.characterCycles);
    this.#cpu = this.#freshCpu(0);
    this.#cpu.data.subarray(ATMEGA328P.sramStart).forEach((_, at, sram) => {
      sram[at] = options.powerUpByte();
    });
    this.#ports = this.#attach("power");
  }

  /** CPU cycles since power-up, resets included. */
  get cycles(): number {
    return this.#cpu.cycles;
  }

  /** Word address of the next instruction. */
  get programCounter(): number {
    return this.#cpu.pc;
  }

  /** Registers, I/O and SRAM as the chip addresses them, live; another array after a reset. */
  get memory(): Uint8Array {
    return this.#cpu.data;
  }

  get asleep(): boolean {
    return this.#asleep;
  }

  /** Bytes on their way from the host. */
  get bytesWaiting(): number {
    return this.#received.waiting;
  }

  /** Puts bytes on the wire to the chip's receiver. */
  send(bytes: Uint8Array): void {
    this.#received.push(bytes);
  }

  /** Executes until the given cycle, or a little beyond: the last instruction is finished. */
  run(untilCycles: number): void {
    this.#limitCycles = Math.ceil(untilCycles);
    while (this.#cpu.cycles < this.#limitCycles) {
      this.#execute();
      if (this.#resetAsked === undefined) continue;
      this.#limitCycles = Math.ceil(untilCycles);
      this.reset(this.#resetAsked);
    }
  }

  /** Makes a run that is going on end no later than at the given cycle. */
  stopBefore(cycles: number): void {
    this.#limitCycles = Math.min(this.#limitCycles, Math.ceil(cycles));
  }

  /** Starts the firmware anew, for the given cause. */
  reset(cause: ResetCause): void {
    const old = this.#cpu;
    this.#resetAsked = undefined;
    this.#asleep = false;
    this.#cpu = this.#freshCpu(old.cycles);
    const sram = this.#cpu.data.subarray(ATMEGA328P.sramStart);
    if (cause === "power")
      sram.forEach((_, at) => {
        sram[at] = this.#options.powerUpByte();
      });
    else sram.set(old.data.subarray(ATMEGA328P.sramStart));
    this.#ports = this.#attach(cause);
    this.#options.surroundings.pinsChanged();
  }

  /** What the chip does with a pin: drives it, or leaves it to the board. */
  pin(port: PortLetter, index: number): "low" | "high" | "input" {
    switch (this.#ports[port].pinState(index)) {
      case PinState.Low:
        return "low";
      case PinState.High:
        return "high";
      default:
        return "input";
    }
  }

  /** Whether the chip's own pull-up holds an input high. */
  pulledUp(port: PortLetter, index: number): boolean {
    return this.#ports[port].pinState(index) === PinState.InputPullUp;
  }

  /** Puts a level on a pin from outside. */
  setPin(port: PortLetter, index: number, high: boolean): void {
    this.#inputs.set(`${port}${index}`, { port, index, high });
    this.#ports[port].setPin(index, high);
  }

  /** The inner loop: executes to the limit, or to a reset, which pulls the limit in. */
  #execute(): void {
    const cpu = this.#cpu;
    const { progMem } = cpu;
    const internals = internalsOf(cpu);
    while (cpu.cycles < this.#limitCycles) {
      if (this.#asleep) {
        this.#asleep = asleepUntil(cpu, this.#limitCycles);
        continue;
      }
      const opcode = progMem[cpu.pc];
      avrInstruction(cpu);
      // The instruction after SEI is always executed before an interrupt (instruction set manual): `sei; sleep` relies on it.
      if (opcode === SEI) continue;
      if (opcode === SLEEP && fallsAsleep(cpu)) {
        this.#asleep = true;
        continue;
      }
      // What `tick` looks at itself; asking here spares the call for nearly every instruction.
      const event = internals.nextClockEvent;
      if (cpu.nextInterrupt >= 0 || (event !== null && event.cycles <= cpu.cycles)) cpu.tick();
    }
  }

  #freshCpu(cycles: number): CPU {
    const cpu = new CPU(this.#options.program, ATMEGA328P.sramBytes);
    cpu.cycles = cycles;
    cpu.reset = () => {
      this.#resetAsked = "watchdog";
      this.stopBefore(0);
    };
    return cpu;
  }

  #attach(cause: ResetCause): Ports {
    const ports = attachPeripherals(this.#cpu, cause, {
      ...this.#options,
      eeprom: this.eeprom,
      received: this.#received,
    });
    for (const { port, index, high } of this.#inputs.values()) ports[port].setPin(index, high);
    return ports;
  }
}
