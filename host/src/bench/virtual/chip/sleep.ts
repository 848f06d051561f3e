import type { CPU } from "avr8js";
import { VirtualBenchError } from "../virtual-bench-error.js";
import { ATMEGA328P } from "./atmega328p.js";
import { internalsOf } from "./emulator-internals.js";

const SE = 0x01;
const SLEEP_MODES = 0x0e;
const IDLE = 0x00;
const ADEN = 0x80;
const ADSC = 0x40;
const ADIF = 0x10;

/**
 * Says whether SLEEP, which has just been executed, puts the chip to sleep; the emulator itself passes over it.
 *
 * Entering idle sleep with the converter on and at rest starts a conversion (data sheet 10.3), which is done here too: firmware that
 * sets ADMUX without waiting for the end of that conversion reads the wrong channel on silicon, and so it does here.
 * Throws `unsupported-sleep` for the modes that stop the clocks of timers or UART, which the emulator cannot.
 */
export function fallsAsleep(cpu: CPU): boolean {
  const { SMCR, ADCSRA } = ATMEGA328P.registers;
  const mode = cpu.data[SMCR] ?? 0;
  if ((mode & SE) === 0) return false;
  if ((mode & SLEEP_MODES) !== IDLE) {
    throw new VirtualBenchError(
      "unsupported-sleep",
      `The firmware sleeps in mode ${mode >> 1}; only idle is emulated.`,
    );
  }
  const adc = cpu.data[ADCSRA] ?? 0;
  if ((adc & (ADEN | ADSC)) === ADEN) cpu.writeData(ADCSRA, (adc | ADSC) & ~ADIF);
  return true;
}

/**
 * Lets a sleeping chip's time pass: at one go to the next peripheral event, or to the limit if that comes first. Says whether it is
 * still asleep afterwards; it wakes when an interrupt is taken, which shows in the program counter.
 */
export function asleepUntil(cpu: CPU, limitCycles: number): boolean {
  const interruptWaits = cpu.nextInterrupt >= 0 && cpu.interruptsEnabled;
  if (!interruptWaits) {
    const to = Math.min(internalsOf(cpu).nextClockEvent?.cycles ?? limitCycles, limitCycles);
    if (to > cpu.cycles) cpu.cycles = to;
  }
  const { pc } = cpu;
  cpu.tick();
  return cpu.pc === pc;
}
