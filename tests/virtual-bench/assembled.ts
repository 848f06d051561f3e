import { assemble } from "avr8js/dist/cjs/utils/assembler.js";

const FLASH_WORDS = 16_384;

/** Flash words of a small program in the emulator's own assembler. */
export function assembledProgram(source: string): Uint16Array {
  const { bytes, errors } = assemble(source);
  if (errors.length > 0) throw new Error(`The test program does not assemble: ${errors.join("; ")}`);
  const flash = new Uint16Array(FLASH_WORDS).fill(0xffff);
  for (let word = 0; word < bytes.length / 2; word += 1) {
    flash[word] = (bytes[2 * word] ?? 0) | ((bytes[2 * word + 1] ?? 0) << 8);
  }
  return flash;
}

/** UART on at 250000 baud, receiver and transmitter; uses r16. */
export const UART_ON = `
  ldi r16, 3
  sts 0xc4, r16
  ldi r16, 0x18
  sts 0xc1, r16
`;
