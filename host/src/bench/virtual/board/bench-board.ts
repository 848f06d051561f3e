import { msOfCycles } from "../chip/atmega328p.js";
import { Chip } from "../chip/chip.js";
import type { AdcInput, ChipSurroundings } from "../chip/chip-peripherals.js";
import { OutputLog } from "../output-log.js";
import type { AnalogSide, Switching } from "./analog-side.js";
import { BOARD } from "./board-values.js";
import { ADC_INPUTS, CONTROLLER_PINS, type ControllerPin } from "./controller-pins.js";
import { FastLimit } from "./fast-limit.js";
import { amplifiedVolts, dividedVolts, quantised, thermistorVolts } from "./front-end.js";
import { type FrontEndErrors, noFrontEndErrors } from "./front-end-errors.js";
import { MainRelay } from "./main-relay.js";
import { SeededNoise } from "./seeded-noise.js";
import { ShiftRegisters } from "./shift-registers.js";
import type { Timeline } from "./timeline.js";

export interface BoardOptions {
  readonly program: Uint16Array;
  readonly side: AnalogSide;
  readonly timeline: Timeline;
  readonly seed: number;
  readonly supplyVolts: number;
  readonly ambientC: number;
  readonly eeprom?: Uint8Array;
  /** How this board differs from its design; not at all if absent. */
  readonly frontEndErrors?: FrontEndErrors;
  /** A character that the bench has sent. */
  readonly transmitted: (byte: number) => void;
}

const CHARACTER_BITS = 10;

/** Everything between the chip's pins and the connector's pins. */
export class BenchBoard {
  readonly chip: Chip;
  readonly log = new OutputLog();
  #side: AnalogSide;
  readonly #noise: SeededNoise;
  readonly #registers: ShiftRegisters;
  readonly #relay: MainRelay;
  readonly #limit: FastLimit;
  #supplyVolts: number;
  readonly #ambientC: number;
  readonly #errors: FrontEndErrors;
  #stuckMask = 0;
  #stopPressed = false;
  #switching: Switching = { supplyVolts: 0, relayClosed: false, driveMask: 0, lowMask: 0 };

  constructor(options: BoardOptions) {
    const memory = new SeededNoise(options.seed ^ 0x5eed);
    this.#noise = new SeededNoise(options.seed);
    this.#side = options.side;
    this.#supplyVolts = options.supplyVolts;
    this.#ambientC = options.ambientC;
    this.#errors = options.frontEndErrors ?? noFrontEndErrors;
    this.#registers = new ShiftRegisters(() => memory.byte());
    this.#relay = new MainRelay(options.timeline, () => this.#outputsChanged());
    this.#limit = new FastLimit(options.timeline, () => this.#limitFollowed());
    const surroundings: ChipSurroundings = {
      pinsChanged: () => this.#followPins(),
      spiByte: (byte, order) => this.#registers.shift(byte, order),
      convert: (input, referenceVolts) => this.#convert(input, referenceVolts),
      transmitted: options.transmitted,
    };
    this.chip = new Chip({
      program: options.program,
      surroundings,
      characterCycles: (CHARACTER_BITS * 16_000_000) / BOARD.baud,
      powerUpByte: () => memory.byte(),
      arefVolts: BOARD.referenceVolts * this.#errors.reference,
      avccVolts: BOARD.railVolts,
      ...(options.eeprom === undefined ? {} : { eeprom: options.eeprom }),
    });
    this.pressStart(false);
    this.#applySwitching();
    this.#followPins();
  }

  /** The start button connects its input to ground. */
  pressStart(pressed: boolean): void {
    this.chip.setPin(CONTROLLER_PINS.startButton.port, CONTROLLER_PINS.startButton.index, !pressed);
  }

  /** The stop button breaks the relay coil's line. */
  pressStop(pressed: boolean): void {
    this.#stopPressed = pressed;
    this.#limitFollowed();
  }

  setSupply(volts: number): void {
    this.#supplyVolts = volts;
    this.#outputsChanged();
  }

  /** Drive channels whose switch has failed conducting, bit n for channel n: they conduct whatever the controller does. */
  setStuck(mask: number): void {
    this.#stuckMask = mask;
    this.#outputsChanged();
  }

  /** Puts another connector on the bench, whatever the bench is doing at the moment. */
  plugIn(side: AnalogSide): void {
    this.#side = side;
    this.#applySwitching();
  }

  #followPins(): void {
    const { chip } = this;
    const level = (wire: ControllerPin) => chip.pin(wire.port, wire.index);
    this.#registers.latchLine(level(CONTROLLER_PINS.latch) === "high");
    this.#limit.clearLine(level(CONTROLLER_PINS.limitClear) === "high", chip.cycles);
    this.#limitFollowed();
  }

  #limitFollowed(): void {
    const { chip } = this;
    const { tripped } = this.#limit;
    chip.setPin(CONTROLLER_PINS.limitSense.port, CONTROLLER_PINS.limitSense.index, tripped);
    const coil =
      chip.pin(CONTROLLER_PINS.relay.port, CONTROLLER_PINS.relay.index) === "high" && !this.#stopPressed && !tripped;
    this.#relay.coil(coil, chip.cycles);
    this.#outputsChanged();
  }

  #outputsChanged(): void {
    const enabled =
      this.chip.pin(CONTROLLER_PINS.outputEnable.port, CONTROLLER_PINS.outputEnable.index) === "low" &&
      !this.#limit.tripped;
    const next: Switching = {
      supplyVolts: this.#supplyVolts,
      relayClosed: this.#relay.closed,
      driveMask: (enabled ? this.#registers.driveMask : 0) | this.#stuckMask,
      lowMask: enabled ? this.#registers.lowMask : 0,
    };
    const { cycles } = this.chip;
    this.log.add({
      atMs: msOfCycles(cycles),
      relayClosed: next.relayClosed,
      driveMask: next.relayClosed ? next.driveMask : 0,
      lowMask: next.lowMask,
      limitTripped: this.#limit.tripped,
    });
    if (sameSwitching(next, this.#switching)) return;
    this.#switching = next;
    this.#applySwitching();
  }

  #applySwitching(): void {
    const { cycles } = this.chip;
    const seconds = msOfCycles(cycles) / 1000;
    this.#side.switchTo(this.#switching, seconds);
    this.#limit.amps(this.#side.shuntAmps(seconds), cycles);
  }

  #convert(input: AdcInput, referenceVolts: number): number {
    const volts = input.kind === "inside" ? input.volts : this.#pinVolts(input.index);
    return quantised(volts, referenceVolts, this.#noise.gaussian() * BOARD.adcNoiseCounts);
  }

  #pinVolts(index: number): number {
    const seconds = msOfCycles(this.chip.cycles) / 1000;
    const { fineGain, fineOffsetVolts, coarseGain, coarseOffsetVolts, supplyGain } = this.#errors;
    switch (index) {
      case ADC_INPUTS.near:
        return this.#nearVolts(this.#selected(), seconds);
      case ADC_INPUTS.far: {
        const channel = this.#selected();
        return channel < BOARD.channels
          ? dividedVolts(this.#side.farVolts(channel, seconds), this.#errors.farGain[channel])
          : 0;
      }
      case ADC_INPUTS.fineCurrent:
        return amplifiedVolts(this.#side.shuntAmps(seconds), BOARD.fineGain * fineGain, fineOffsetVolts);
      case ADC_INPUTS.supply:
        return dividedVolts(this.#side.supplyVolts(seconds), supplyGain);
      case ADC_INPUTS.coarseCurrent:
        return amplifiedVolts(this.#side.shuntAmps(seconds), BOARD.coarseGain * coarseGain, coarseOffsetVolts);
      default:
        return 0;
    }
  }

  #nearVolts(channel: number, seconds: number): number {
    if (channel < BOARD.channels) {
      return dividedVolts(this.#side.nearVolts(channel, seconds), this.#errors.nearGain[channel]);
    }
    return channel === BOARD.thermistorInput ? thermistorVolts(this.#ambientC) * this.#errors.reference : 0;
  }

  #selected(): number {
    return CONTROLLER_PINS.select.reduce(
      (channel, wire, bit) => channel | (this.chip.pin(wire.port, wire.index) === "high" ? 1 << bit : 0),
      0,
    );
  }
}

function sameSwitching(one: Switching, other: Switching): boolean {
  return (
    one.supplyVolts === other.supplyVolts &&
    one.relayClosed === other.relayClosed &&
    one.driveMask === other.driveMask &&
    one.lowMask === other.lowMask
  );
}
