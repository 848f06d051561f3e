import { cyclesOfMs } from "@pinwalk/host/bench/virtual/chip/atmega328p.js";
import { Chip, type ChipOptions } from "@pinwalk/host/bench/virtual/chip/chip.js";
import type { ChipSurroundings } from "@pinwalk/host/bench/virtual/chip/chip-peripherals.js";
import { assembledProgram } from "./assembled.js";

/** A chip with nothing around it but a line, for programs that answer with what they saw. */
export function bareChip(
  source: string,
  overrides: Partial<ChipSurroundings> = {},
  options: Partial<ChipOptions> = {},
) {
  const sent: number[] = [];
  const chip = new Chip({
    program: assembledProgram(source),
    surroundings: {
      pinsChanged: () => {},
      spiByte: () => {},
      convert: () => 0,
      transmitted: (byte) => sent.push(byte),
      ...overrides,
    },
    characterCycles: 640,
    powerUpByte: () => 0xa5,
    arefVolts: 4.096,
    avccVolts: 5,
    ...options,
  });
  return {
    chip,
    sent,
    text: () => String.fromCharCode(...sent),
    runForMs: (milliseconds: number) => chip.run(chip.cycles + cyclesOfMs(milliseconds)),
  };
}
