import {
  type ADCMuxInput,
  ADCMuxInputType,
  AVRADC,
  AVRClock,
  AVREEPROM,
  AVRIOPort,
  AVRSPI,
  AVRTimer,
  AVRUSART,
  AVRWatchdog,
  type CPU,
  type EEPROMMemoryBackend,
} from "avr8js";
import { ATMEGA328P, type PortLetter, RESET_FLAGS, type ResetCause } from "./atmega328p.js";
import { mendConverter } from "./converter-mend.js";
import type { ReceiveQueue } from "./receive-queue.js";
import { mendReceiver } from "./receiver-mend.js";

/** What the board shows to the chip and takes from it. */
export interface ChipSurroundings {
  /** A pin's direction or level may have changed. */
  pinsChanged(): void;
  /** A byte went out over SPI. */
  spiByte(byte: number, order: "msbFirst" | "lsbFirst"): void;
  /** Result of a conversion that samples now: 0 to 1023. */
  convert(input: AdcInput, referenceVolts: number): number;
  /** A character went out over the UART. */
  transmitted(byte: number): void;
}

/** What the chip's own multiplexer has put on its converter: a pin of port C, or one of the chip's own voltages. */
export type AdcInput =
  | { readonly kind: "pin"; readonly index: number }
  | { readonly kind: "inside"; readonly volts: number };

export interface PeripheralsOptions {
  readonly surroundings: ChipSurroundings;
  readonly eeprom: EEPROMMemoryBackend;
  readonly received: ReceiveQueue;
  /** Volts on AREF, and on AVCC. */
  readonly arefVolts: number;
  readonly avccVolts: number;
}

export type Ports = Readonly<Record<PortLetter, AVRIOPort>>;

/** The chip's temperature sensor at 25 °C gives 314 mV (data sheet table 23-2; from memory). */
const TEMPERATURE_SENSOR_VOLTS = 0.314;
/** From sampling to the end of a conversion, whether it is the first one or not, in ADC clocks (data sheet table 23-1; from memory). */
const CLOCKS_AFTER_SAMPLING = 11.5;
/** After a watchdog reset the watchdog runs on, at its shortest time, until the firmware turns it off (11.9.2). */
const WDE = 0x08;
const WDCE = 0x10;

/** Builds the chip's peripherals on a fresh CPU as they are after a reset of the given cause. Gives the ports. */
export function attachPeripherals(cpu: CPU, cause: ResetCause, options: PeripheralsOptions): Ports {
  const { surroundings, eeprom, received, arefVolts, avccVolts } = options;
  const { ports, registers } = ATMEGA328P;
  const attached = {
    B: new AVRIOPort(cpu, ports.B),
    C: new AVRIOPort(cpu, ports.C),
    D: new AVRIOPort(cpu, ports.D),
  };
  for (const port of Object.values(attached)) port.addListener(() => surroundings.pinsChanged());
  for (const timer of ATMEGA328P.timers) new AVRTimer(cpu, timer);
  new AVREEPROM(cpu, eeprom, ATMEGA328P.eeprom);
  new AVRWatchdog(cpu, ATMEGA328P.watchdog, new AVRClock(cpu, ATMEGA328P.clockHz));

  const usart = new AVRUSART(cpu, ATMEGA328P.usart, ATMEGA328P.clockHz);
  usart.onByteTransmit = (byte) => {
    if (usart.txEnable) surroundings.transmitted(byte);
  };
  mendReceiver(cpu, usart, ATMEGA328P.usart);
  received.attach(cpu, usart, ATMEGA328P.usart);

  const spi = new AVRSPI(cpu, ATMEGA328P.spi, ATMEGA328P.clockHz);
  spi.onByte = (byte) => {
    surroundings.spiByte(byte, spi.dataOrder);
    cpu.addClockEvent(() => spi.completeTransfer(0xff), spi.transferCycles);
  };

  const adc = new AVRADC(cpu, ATMEGA328P.adc);
  adc.aref = arefVolts;
  adc.avcc = avccVolts;
  adc.onADCRead = (input) => {
    const { sampleCycles, prescaler } = adc;
    const from = adcInputOf(input);
    let counts = 0;
    cpu.addClockEvent(
      () => {
        counts = surroundings.convert(from, adc.referenceVoltage);
      },
      sampleCycles - CLOCKS_AFTER_SAMPLING * prescaler,
    );
    cpu.addClockEvent(() => adc.completeADCRead(counts), sampleCycles);
  };

  mendConverter(cpu, adc, ATMEGA328P.adc);

  cpu.data[registers.MCUSR] = RESET_FLAGS[cause];
  if (cause === "watchdog") {
    cpu.writeData(registers.WDTCSR, WDCE | WDE);
    cpu.writeData(registers.WDTCSR, WDE);
  }
  return attached;
}

function adcInputOf(input: ADCMuxInput): AdcInput {
  switch (input.type) {
    case ADCMuxInputType.SingleEnded:
      return { kind: "pin", index: input.channel };
    case ADCMuxInputType.Constant:
      return { kind: "inside", volts: input.voltage };
    case ADCMuxInputType.Temperature:
      return { kind: "inside", volts: TEMPERATURE_SENSOR_VOLTS };
    default:
      return { kind: "inside", volts: 0 };
  }
}
