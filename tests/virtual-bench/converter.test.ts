import { describe, expect, it } from "vitest";
import { UART_ON } from "./assembled.js";
import { bareChip } from "./bench-of-one-chip.js";

const ADC_CLOCK_CYCLES = 128;

/** Waits for the end of a conversion. */
function conversionEnds(mark: string): string {
  return `
${mark}:
  lds r16, 0x7a
  sbrc r16, 6
  rjmp ${mark}
`;
}

const START = `
  ldi r17, 0xc7
  sts 0x7a, r17
`;

/** Sends the converter's flag: 16 while it is raised. */
function sendsFlag(mark: string): string {
  return `
  lds r20, 0x7a
  andi r20, 0x10
${mark}:
  lds r21, 0xc0
  sbrs r21, 5
  rjmp ${mark}
  sts 0xc6, r20
`;
}

const END = `
end:
  rjmp end
`;

describe("the chip's converter", () => {
  it("samples twelve microseconds into a conversion, and 108 into the first one after it was turned on", () => {
    const moments: number[] = [];
    const made = bareChip(`${UART_ON}${START}${conversionEnds("first")}${START}${conversionEnds("second")}${END}`, {
      convert: () => {
        moments.push(made.chip.cycles);
        return 0;
      },
    });
    made.runForMs(1);
    const [first = 0, second = 0] = moments;
    // The first start comes after a handful of instructions; the second within a few of the end of the first conversion.
    expect(first / ADC_CLOCK_CYCLES).toBeGreaterThan(13.5);
    expect(first / ADC_CLOCK_CYCLES).toBeLessThan(13.8);
    expect((second - first) / ADC_CLOCK_CYCLES).toBeGreaterThan(11.5 + 1.5);
    expect((second - first) / ADC_CLOCK_CYCLES).toBeLessThan(11.5 + 1.5 + 0.2);
    expect(moments).toHaveLength(2);
  });

  it("makes one conversion per start and then rests", () => {
    let conversions = 0;
    const { runForMs } = bareChip(`${UART_ON}${START}${END}`, {
      convert: () => {
        conversions += 1;
        return 0;
      },
    });
    runForMs(5);
    expect(conversions).toBe(1);
  });

  it("keeps its flag when a zero is written to it and drops it when a one is", () => {
    const { runForMs, sent } = bareChip(`${UART_ON}${START}${conversionEnds("first")}
  ldi r17, 0x87
  sts 0x7a, r17
${sendsFlag("a")}
  ldi r17, 0x97
  sts 0x7a, r17
${sendsFlag("b")}${END}`);
    runForMs(2);
    expect(sent).toEqual([16, 0]);
  });
});
