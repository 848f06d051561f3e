import type { AVRADC, AVRUSART, CPU } from "avr8js";

/**
 * Looks behind the emulator's public interface. avr8js is pinned to one exact version; every cast that the mends need
 * stands here, and the tests of the mends fail when a new version moves one of these fields.
 */
export interface CpuInternals {
  /** The peripheral event that is due next; null when there is none. */
  readonly nextClockEvent: { readonly cycles: number } | null;
}

interface UsartInternals {
  readonly RXC: Interrupt;
}

interface AdcInternals {
  readonly ADC: Interrupt;
}

export type Interrupt = Parameters<CPU["setInterruptFlag"]>[0];

export function internalsOf(cpu: CPU): CpuInternals {
  return cpu as unknown as CpuInternals;
}

/** The receive-complete interrupt of a USART. */
export function receiveComplete(usart: AVRUSART): Interrupt {
  return (usart as unknown as UsartInternals).RXC;
}

/** The conversion-complete interrupt of the converter. */
export function conversionComplete(adc: AVRADC): Interrupt {
  return (adc as unknown as AdcInternals).ADC;
}
