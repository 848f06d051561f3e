import type { AVRUSART, CPU } from "avr8js";

/**
 * Looks behind the emulator's public interface. avr8js is pinned to one exact version; every cast that the mends need
 * stands here, and the tests of the mends fail when a new version moves one of these fields.
 */
interface CpuInternals {
  readonly nextClockEvent: { readonly cycles: number } | null;
}

interface UsartInternals {
  readonly RXC: Interrupt;
}

export type Interrupt = Parameters<CPU["setInterruptFlag"]>[0];

/** Cycle at which the emulator's next peripheral event is due; infinity when none is. */
export function nextClockEventCycles(cpu: CPU): number {
  const event = (cpu as unknown as CpuInternals).nextClockEvent;
  return event === null ? Number.POSITIVE_INFINITY : event.cycles;
}

/** The receive-complete interrupt of a USART. */
export function receiveComplete(usart: AVRUSART): Interrupt {
  return (usart as unknown as UsartInternals).RXC;
}
