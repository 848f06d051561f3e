import { describe, expect, it } from "vitest";
import { UART_ON } from "./assembled.js";
import { bareChip } from "./bench-of-one-chip.js";

/**
 * Timer 2 interrupts every millisecond; the main loop sleeps and counts its rounds. After 50 ticks it answers with
 * the number of rounds: as many as ticks if SLEEP sleeps, millions of cycles' worth if it does nothing.
 */
const COUNT_ROUNDS = `
  rjmp start
_loc 0x1c
  inc r24
  reti
_loc 0x40
start:
${UART_ON}
  ldi r16, 124
  sts 0xb3, r16
  ldi r16, 2
  sts 0xb0, r16
  sts 0x70, r16
  ldi r16, 5
  sts 0xb1, r16
  ldi r16, 1
  out 0x33, r16
  ldi r24, 0
  ldi r25, 0
  sei
next:
  sleep
  inc r25
  cpi r24, 50
  brne next
  sts 0xc6, r25
  ldi r24, 0
  ldi r25, 0
  rjmp next
`;

describe("sleep", () => {
  it("lasts until the next interrupt", () => {
    const { runForMs, sent } = bareChip(COUNT_ROUNDS);
    runForMs(151);
    expect(sent).toEqual([50, 50, 50]);
  });

  it("lasts as long when time passes in slices that cut through it", () => {
    const { chip, sent } = bareChip(COUNT_ROUNDS);
    while (chip.cycles < 151 * 16_000) chip.run(chip.cycles + 977);
    expect(sent).toEqual([50, 50, 50]);
  });

  it("never runs beyond the moment it was told to", () => {
    const { chip } = bareChip(COUNT_ROUNDS);
    chip.run(100_000);
    const { cycles } = chip;
    expect(cycles).toBeGreaterThanOrEqual(100_000);
    expect(cycles).toBeLessThan(100_010);
  });

  it("is not missed when the interrupt waits already as SEI is followed by SLEEP", () => {
    const { runForMs, text } = bareChip(`
  rjmp start
_loc 0x40
  clr r16
  sts 0x6e, r16
  reti
_loc 0x60
start:
${UART_ON}
  ldi r16, 1
  out 0x33, r16
  sts 0x45, r16
  sts 0x6e, r16
full:
  sbis 0x15, 0
  rjmp full
  sei
  sleep
  ldi r20, 87
  sts 0xc6, r20
end:
  rjmp end
`);
    runForMs(5);
    expect(text()).toBe("W");
  });

  it("starts a conversion by itself when the converter is on and at rest", () => {
    const inputs: number[] = [];
    const { runForMs, sent } = bareChip(
      `
  rjmp start
_loc 0x54
  reti
_loc 0x60
start:
${UART_ON}
  ldi r16, 0x03
  sts 0x7c, r16
  ldi r16, 0x8f
  sts 0x7a, r16
  ldi r16, 1
  out 0x33, r16
  sei
  sleep
  lds r20, 0x78
  sts 0xc6, r20
end:
  rjmp end
`,
      {
        convert: (input) => {
          if (input.kind === "pin") inputs.push(input.index);
          return 77;
        },
      },
    );
    runForMs(2);
    expect(inputs).toEqual([3]);
    expect(sent).toEqual([77]);
  });

  it("in a mode that stops the chip's clocks is refused, as it cannot be emulated", () => {
    const { runForMs } = bareChip(`
  ldi r16, 5
  out 0x33, r16
  sleep
end:
  rjmp end
`);
    expect(() => runForMs(1)).toThrow(expect.objectContaining({ code: "unsupported-sleep" }));
  });
});
