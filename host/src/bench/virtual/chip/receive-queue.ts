import type { AVRUSART, CPU } from "avr8js";

const RXC = 0x80;
const DOR = 0x08;
/** Besides the byte that the firmware can read: one more in the buffer, one in the shift register (data sheet 20.7). */
const HELD_BEHIND_HEAD = 2;
/** What waits beyond this is dropped, as by a full driver: two and a half seconds of the line. */
const MOST_WAITING = 65_536;

interface UsartRegisters {
  readonly UCSRA: number;
  readonly UDR: number;
}

/**
 * The wire from the host to the chip's receiver, and the receiver's FIFO that the emulator lacks.
 *
 * Bytes come one character time apart, whether the firmware is ready or not. The receiver holds three; the next one is
 * lost with the overrun flag raised, as on silicon. Bytes that come while the receiver is off are lost.
 */
export class ReceiveQueue {
  readonly #characterCycles: number;
  #waiting: number[] = [];
  #held: number[] = [];
  #travelling = false;
  #cpu: CPU | undefined;
  #usart: AVRUSART | undefined;
  #registers: UsartRegisters | undefined;

  constructor(characterCycles: number) {
    this.#characterCycles = characterCycles;
  }

  /** Bytes that have not reached the chip yet. */
  get waiting(): number {
    return this.#waiting.length;
  }

  /** Takes its place between the wire and a chip that has just been built; what the old one held is gone. */
  attach(cpu: CPU, usart: AVRUSART, registers: UsartRegisters): void {
    this.#cpu = cpu;
    this.#usart = usart;
    this.#registers = registers;
    this.#held = [];
    this.#travelling = false;
    const readData = cpu.readHooks[registers.UDR];
    cpu.readHooks[registers.UDR] = (address) => {
      const byte = readData?.(address) ?? 0;
      cpu.data[registers.UCSRA] = (cpu.data[registers.UCSRA] ?? 0) & ~DOR;
      const next = this.#held.shift();
      if (next !== undefined) usart.writeByte(next, true);
      return byte;
    };
    this.#sendNext();
  }

  push(bytes: Uint8Array): void {
    for (const byte of bytes.subarray(0, MOST_WAITING - this.#waiting.length)) this.#waiting.push(byte);
    this.#sendNext();
  }

  #sendNext(): void {
    if (this.#travelling || this.#waiting.length === 0 || this.#cpu === undefined) return;
    this.#travelling = true;
    this.#cpu.addClockEvent(() => {
      this.#travelling = false;
      const byte = this.#waiting.shift();
      if (byte !== undefined) this.#arrive(byte);
      this.#sendNext();
    }, this.#characterCycles);
  }

  #arrive(byte: number): void {
    const { cpu, usart, registers } = { cpu: this.#cpu, usart: this.#usart, registers: this.#registers };
    if (cpu === undefined || usart === undefined || registers === undefined) return;
    const flags = cpu.data[registers.UCSRA] ?? 0;
    if ((flags & RXC) === 0) {
      this.#held = [];
      usart.writeByte(byte, true);
    } else if (this.#held.length < HELD_BEHIND_HEAD) {
      this.#held.push(byte);
    } else {
      cpu.data[registers.UCSRA] = flags | DOR;
    }
  }
}
