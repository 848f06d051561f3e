/**
 * Two 74HC595 in a chain: the byte sent first ends in the far chip (drive channels), the second in the near one
 * (low-current channels). What was shifted in shows at the outputs only after a rising edge on the latch line.
 */
export class ShiftRegisters {
  #shifted: number;
  #stored: number;
  #latchHigh = false;

  /** Both registers hold anything at power-up: that is why output enable must stay off until they are written. */
  constructor(powerUpByte: () => number) {
    this.#shifted = powerUpByte() * 256 + powerUpByte();
    this.#stored = powerUpByte() * 256 + powerUpByte();
  }

  /** Drive channels at the outputs, bit n for channel n. */
  get driveMask(): number {
    return this.#stored >> 8;
  }

  /** Low-current channels at the outputs, bit n for channel n. */
  get lowMask(): number {
    return this.#stored & 0xff;
  }

  /** Clocks one byte in; the bit sent first ends at the last output (QH). */
  shift(byte: number, order: "msbFirst" | "lsbFirst"): void {
    this.#shifted = ((this.#shifted << 8) | (order === "msbFirst" ? byte : reversed(byte))) & 0xffff;
  }

  /** Follows the latch line; says whether the outputs were taken over. */
  latchLine(high: boolean): boolean {
    const rising = high && !this.#latchHigh;
    this.#latchHigh = high;
    if (rising) this.#stored = this.#shifted;
    return rising;
  }
}

function reversed(byte: number): number {
  let result = 0;
  for (let bit = 0; bit < 8; bit += 1) result |= ((byte >> bit) & 1) << (7 - bit);
  return result;
}
