import { AVRClock, AVRIOPort, AVRWatchdog, avrInstruction, CPU, portBConfig, watchdogConfig } from "avr8js";
import { describe, expect, it } from "vitest";
import { assembledProgram, UART_ON } from "./assembled.js";
import { bareChip } from "./bench-of-one-chip.js";

const HANG_UNDER_WATCHDOG = `
  ldi r16, 0x18
  sts 0x60, r16
  ldi r16, 0x08
  sts 0x60, r16
hang:
  rjmp hang
`;

/** Makes PB1 an output at low level, then hangs. */
const DRIVE_A_PIN_AND_HANG = `
  sbi 0x04, 1
${HANG_UNDER_WATCHDOG}`;

/** Says which reset it was as a digit, turns the watchdog off as a firmware must, then runs the rest. */
const SAY_RESET = `${UART_ON}
  lds r20, 0x54
  ldi r16, 0
  sts 0x54, r16
  ldi r16, 0x18
  sts 0x60, r16
  ldi r16, 0
  sts 0x60, r16
  mov r21, r20
  ori r21, 0x30
  sts 0xc6, r21
`;

describe("a reset of the chip", () => {
  it("by the watchdog floats every pin, where the bare emulator keeps driving them", () => {
    const cpu = new CPU(assembledProgram(DRIVE_A_PIN_AND_HANG));
    const port = new AVRIOPort(cpu, portBConfig);
    new AVRWatchdog(cpu, watchdogConfig, new AVRClock(cpu, 16e6));
    let wasReset = false;
    let drivenAfterReset = false;
    while (cpu.cycles < 16e6 * 0.02) {
      avrInstruction(cpu);
      cpu.tick();
      if (!wasReset && cpu.data[0x54] === 8) {
        wasReset = true;
        drivenAfterReset = port.pinState(1) < 2;
      }
    }
    expect(wasReset).toBe(true);
    expect(drivenAfterReset).toBe(true);

    const levels: string[] = [];
    const mended = bareChip(DRIVE_A_PIN_AND_HANG, {
      pinsChanged: () => levels.push(mended.chip.pin("B", 1)),
    });
    mended.runForMs(17);
    expect(levels.slice(0, 2)).toEqual(["low", "input"]);
  });

  it("by the watchdog starts the firmware over with the cause in MCUSR", () => {
    const { runForMs, text } = bareChip(`${SAY_RESET}
  sbrc r20, 3
  rjmp end
${HANG_UNDER_WATCHDOG}
end:
  rjmp end
`);
    runForMs(100);
    expect(text()).toBe("18");
  });

  it("by the watchdog repeats for a firmware that does not turn the watchdog off, as on silicon", () => {
    const { runForMs, sent } = bareChip(`${UART_ON}
  lds r20, 0x54
  sts 0xc6, r20
  sbrs r20, 3
  rjmp first
hang:
  rjmp hang
first:
${HANG_UNDER_WATCHDOG.replaceAll("hang", "hang-first").replaceAll("-", "_")}
`);
    runForMs(100);
    expect(sent.slice(0, 4)).toEqual([1, 8, 8, 8]);
  });

  it("keeps the EEPROM, the SRAM and the time, but a power-up loses the SRAM", () => {
    const source = `${UART_ON}
  lds r20, 0x200
  sts 0xc6, r20
  sbi 0x1f, 0
  in r21, 0x20
  ldi r18, 4
pause:
  dec r17
  brne pause
  dec r18
  brne pause
  sts 0xc6, r21
  ldi r16, 0x42
  sts 0x200, r16
  out 0x20, r16
  sbi 0x1f, 2
  sbi 0x1f, 1
end:
  rjmp end
`;
    const { chip, runForMs, sent } = bareChip(source);
    runForMs(10);
    expect(sent).toEqual([0xa5, 0xff]);
    chip.reset("external");
    expect(chip.cycles).toBeGreaterThanOrEqual(160_000);
    runForMs(10);
    expect(sent.slice(2)).toEqual([0x42, 0x42]);
    chip.reset("power");
    runForMs(10);
    expect(sent.slice(4)).toEqual([0xa5, 0x42]);
  });

  it("keeps the level that the board puts on a pin", () => {
    const { chip, runForMs, sent } = bareChip(`${UART_ON}
  in r20, 0x09
  sts 0xc6, r20
end:
  rjmp end
`);
    chip.setPin("D", 6, true);
    runForMs(1);
    chip.reset("brown-out");
    runForMs(1);
    expect(sent).toEqual([0x40, 0x40]);
  });
});

describe("the chip's memory", () => {
  it("ends at 2 kB of SRAM, where the bare emulator has 8 kB and hides an overflow", () => {
    const source = `${UART_ON}
  ldi r20, 0x77
  sts 0x8ff, r20
  sts 0x900, r20
  ldi r20, 0
  lds r20, 0x8ff
  lds r21, 0x900
  sts 0xc6, r20
  ldi r18, 4
pause:
  dec r17
  brne pause
  dec r18
  brne pause
  sts 0xc6, r21
end:
  rjmp end
`;
    expect(new CPU(assembledProgram(source)).data.length).toBeGreaterThan(0x901);
    const { runForMs, sent } = bareChip(source);
    runForMs(2);
    expect(sent).toEqual([0x77, 0]);
  });
});
