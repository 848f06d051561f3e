import type { AVRUSART, CPU } from "avr8js";
import { receiveComplete } from "./emulator-internals.js";

const RXC = 0x80;
const TXC = 0x40;
const UDRE = 0x20;
const FE = 0x10;
const DOR = 0x08;
const UPE = 0x04;
const RXEN = 0x10;

interface UsartRegisters {
  readonly UCSRA: number;
  readonly UCSRB: number;
}

/**
 * Mends the emulator's USART, which discards a received byte whenever UCSRB is written with the receiver on (a
 * transmit interrupt that turns itself off does so all the time), and clears every read-only flag when UCSRA is
 * written. On silicon a pending byte survives both.
 */
export function mendReceiver(cpu: CPU, usart: AVRUSART, registers: UsartRegisters): void {
  const { UCSRA, UCSRB } = registers;
  const writeUcsrb = cpu.writeHooks[UCSRB];
  cpu.writeHooks[UCSRB] = (value, oldValue, address, mask) => {
    const pending = flagsOf(cpu, UCSRA) & RXC;
    const handled = writeUcsrb?.(value, oldValue, address, mask);
    if (pending !== 0 && (value & RXEN) !== 0) cpu.setInterruptFlag(receiveComplete(usart));
    return handled ?? false;
  };
  const writeUcsra = cpu.writeHooks[UCSRA];
  cpu.writeHooks[UCSRA] = (value, oldValue, address, mask) => {
    const cleared = value & TXC;
    const kept = flagsOf(cpu, UCSRA) & (RXC | TXC | UDRE | FE | DOR | UPE) & ~cleared;
    const handled = writeUcsra?.(value, oldValue, address, mask);
    cpu.data[UCSRA] = flagsOf(cpu, UCSRA) | kept;
    return handled ?? false;
  };
}

function flagsOf(cpu: CPU, register: number): number {
  return cpu.data[register] ?? 0;
}
