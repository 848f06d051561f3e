import type { PortLetter } from "../chip/atmega328p.js";

export interface ControllerPin {
  readonly port: PortLetter;
  readonly index: number;
}

/** The controller's pins on the board, as firmware and build guide have them too. */
export const CONTROLLER_PINS = {
  select: [2, 3, 4, 5].map((index): ControllerPin => ({ port: "D", index })),
  latch: { port: "B", index: 0 },
  outputEnable: { port: "B", index: 1 },
  startButton: { port: "B", index: 4 },
  relay: { port: "C", index: 5 },
  limitSense: { port: "D", index: 6 },
  limitClear: { port: "D", index: 7 },
} as const;

/** Inputs of the converter. */
export const ADC_INPUTS = { near: 0, far: 1, fineCurrent: 2, supply: 3, coarseCurrent: 4 } as const;
