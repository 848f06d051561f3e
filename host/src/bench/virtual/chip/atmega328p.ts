import {
  adcConfig,
  eepromConfig,
  portBConfig,
  portCConfig,
  portDConfig,
  spiConfig,
  timer0Config,
  timer1Config,
  timer2Config,
  usart0Config,
  watchdogConfig,
} from "avr8js";

/** The three ports of the chip, by the letter its data sheet uses. */
export type PortLetter = "B" | "C" | "D";

/**
 * What sets the ATmega328P apart from its siblings, as data for `Chip`. Sizes and register addresses from the data
 * sheet DS40002061 (sections 8, 11, 14 and the register summary; from memory).
 */
export const ATMEGA328P = {
  clockHz: 16_000_000,
  flashBytes: 32_768,
  sramBytes: 2_048,
  /** First address of SRAM: registers and I/O lie below. */
  sramStart: 0x100,
  eepromBytes: 1_024,
  ports: { B: portBConfig, C: portCConfig, D: portDConfig } satisfies Record<PortLetter, unknown>,
  timers: [timer0Config, timer1Config, timer2Config],
  usart: usart0Config,
  spi: spiConfig,
  adc: adcConfig,
  eeprom: eepromConfig,
  watchdog: watchdogConfig,
  registers: { SMCR: 0x53, MCUSR: 0x54, WDTCSR: 0x60, ADCSRA: 0x7a },
} as const;

/** Why the chip starts over; the bit that it then finds in MCUSR. */
export const RESET_FLAGS = { power: 0x01, external: 0x02, "brown-out": 0x04, watchdog: 0x08 } as const;

export type ResetCause = keyof typeof RESET_FLAGS;

/** Emulated CPU cycles in so many milliseconds, rounded up to a whole cycle. */
export function cyclesOfMs(milliseconds: number): number {
  return Math.ceil((milliseconds * ATMEGA328P.clockHz) / 1000);
}

/** Milliseconds of emulated time in so many CPU cycles. */
export function msOfCycles(cycles: number): number {
  return (cycles * 1000) / ATMEGA328P.clockHz;
}
