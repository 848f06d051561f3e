import { AVRUSART, avrInstruction, CPU, usart0Config } from "avr8js";
import { describe, expect, it } from "vitest";
import { assembledProgram, UART_ON } from "./assembled.js";
import { bareChip } from "./bench-of-one-chip.js";

const WAIT_A_MILLISECOND = `
  ldi r18, 21
wait:
  dec r17
  brne wait
  dec r18
  brne wait
`;

/** Waits until a byte has come, touches a register, and answers with the byte, or with ! if it is gone. */
function answersAfter(touch: string): string {
  return `${UART_ON}${WAIT_A_MILLISECOND}${touch}
  lds r19, 0xc0
  sbrs r19, 7
  rjmp lost
  lds r20, 0xc6
  sts 0xc6, r20
end:
  rjmp end
lost:
  ldi r20, 33
  sts 0xc6, r20
  rjmp end
`;
}

const TOUCH_UCSRB = "  sts 0xc1, r16\n";
const TOUCH_UCSRA = "  ldi r21, 0\n  sts 0xc0, r21\n";

const ECHO = `${UART_ON}
next:
  lds r19, 0xc0
  sbrs r19, 7
  rjmp next
  lds r20, 0xc6
  sts 0xc6, r20
  rjmp next
`;

function bytesOf(text: string): Uint8Array {
  return new TextEncoder().encode(text);
}

describe("the chip's receiver", () => {
  it("keeps a pending byte when the firmware writes UCSRB, where the bare emulator loses it", () => {
    const cpu = new CPU(assembledProgram(answersAfter(TOUCH_UCSRB)));
    const usart = new AVRUSART(cpu, usart0Config, 16e6);
    const bare: number[] = [];
    usart.onByteTransmit = (byte) => bare.push(byte);
    let given = false;
    while (cpu.cycles < 48_000) {
      if (!given && usart.writeByte(0x4b)) given = true;
      avrInstruction(cpu);
      cpu.tick();
    }
    expect(String.fromCharCode(...bare)).toBe("!");

    const mended = bareChip(answersAfter(TOUCH_UCSRB));
    mended.runForMs(0.1);
    mended.chip.send(bytesOf("K"));
    mended.runForMs(3);
    expect(mended.text()).toBe("K");
  });

  it("keeps a pending byte when the firmware writes UCSRA", () => {
    const { chip, runForMs, text } = bareChip(answersAfter(TOUCH_UCSRA));
    runForMs(0.1);
    chip.send(bytesOf("K"));
    runForMs(3);
    expect(text()).toBe("K");
  });

  it("takes bytes at the line's rate however many are sent at once", () => {
    const { chip, runForMs, text } = bareChip(ECHO);
    runForMs(0.1);
    const line = "?2A drive 3 4000*C0DE".repeat(4);
    chip.send(bytesOf(line));
    runForMs(0.5);
    expect(text().length).toBeLessThan(14);
    runForMs(5);
    expect(text()).toBe(line);
  });

  it("holds three bytes for a firmware that is late and loses the fourth, as silicon does", () => {
    const { chip, runForMs, text } = bareChip(`${UART_ON}${WAIT_A_MILLISECOND}${ECHO.slice(UART_ON.length)}`);
    runForMs(0.1);
    chip.send(bytesOf("abcd"));
    runForMs(5);
    expect(text()).toBe("abc");
  });

  it("lets a host that floods the line fill no more than 64 kB", () => {
    const { chip } = bareChip(ECHO);
    chip.send(new Uint8Array(60_000));
    chip.send(new Uint8Array(60_000));
    chip.send(new Uint8Array(60_000));
    expect(chip.bytesWaiting).toBe(65_536);
  });

  it("loses what comes while it is off", () => {
    const { chip, runForMs, text } = bareChip(`${WAIT_A_MILLISECOND}${ECHO}`);
    chip.send(bytesOf("ab"));
    runForMs(2);
    chip.send(bytesOf("c"));
    runForMs(1);
    expect(text()).toBe("c");
  });
});
