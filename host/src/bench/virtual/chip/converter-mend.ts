import type { AVRADC, CPU } from "avr8js";
import { conversionComplete } from "./emulator-internals.js";

const ADIF = 0x10;

/**
 * Mends the emulator's converter, which takes ADIF as it is written: on silicon a one clears the flag and a zero leaves it
 * alone (data sheet 24.9.2; from memory).
 */
export function mendConverter(cpu: CPU, adc: AVRADC, registers: { readonly ADCSRA: number }): void {
  const { ADCSRA } = registers;
  const write = cpu.writeHooks[ADCSRA];
  cpu.writeHooks[ADCSRA] = (value, oldValue, address, mask) => {
    if ((value & ADIF) !== 0) cpu.clearInterrupt(conversionComplete(adc));
    const flag = (cpu.data[ADCSRA] ?? 0) & ADIF;
    write?.((value & ~ADIF) | flag, oldValue, address, mask);
    return true;
  };
}
