import { BenchBoard } from "@pinwalk/host/bench/virtual/board/bench-board.js";
import { Timeline } from "@pinwalk/host/bench/virtual/board/timeline.js";
import { cyclesOfMs } from "@pinwalk/host/bench/virtual/chip/atmega328p.js";
import { describe, expect, it } from "vitest";
import { assembledProgram, UART_ON } from "./assembled.js";
import { ToldSide } from "./told-side.js";

/** Directions as the bench has them: select lines, latch clear, latch, output enable (off), SPI, relay. */
const PINS_OUT = `
  ldi r16, 0x02
  out 0x05, r16
  ldi r16, 0x2f
  out 0x04, r16
  ldi r16, 0x20
  out 0x07, r16
  ldi r16, 0xbc
  out 0x0a, r16
  ldi r16, 0x50
  out 0x2c, r16
`;

/** Shifts two bytes out and latches them. */
function latched(first: number, second: number): string {
  const one = (byte: number, label: string) => `
  ldi r16, ${byte}
  out 0x2e, r16
${label}:
  in r17, 0x2d
  sbrs r17, 7
  rjmp ${label}
`;
  const mark = `s${labels++}`;
  return `${one(first, `${mark}a`)}${one(second, `${mark}b`)}
  sbi 0x05, 0
  cbi 0x05, 0
`;
}
let labels = 0;

const ENABLE = "\n  cbi 0x05, 1\n";
const RELAY = "\n  sbi 0x08, 5\n";

function pause(milliseconds: number): string {
  const mark = `p${labels++}`;
  return `
  ldi r18, ${Math.round(milliseconds * 20.8)}
${mark}:
  dec r17
  brne ${mark}
  dec r18
  brne ${mark}
`;
}

const END = "\nend:\n  rjmp end\n";

/** Converts one ADC pin with the multiplexers on one input, over and over, and sends the results. */
function convertsForEver(adcPin: number, input: number): string {
  return `${UART_ON}
  ldi r16, ${input << 2}
  out 0x0b, r16
  ldi r16, ${adcPin}
  sts 0x7c, r16
next:
  ldi r16, 0xc7
  sts 0x7a, r16
busy:
  lds r16, 0x7a
  sbrc r16, 6
  rjmp busy
  lds r20, 0x78
  lds r21, 0x79
  sts 0xc6, r20
${pause(0.1)}
  sts 0xc6, r21
${pause(0.1)}
  rjmp next
`;
}

function boardWith(source: string, side = new ToldSide(), seed = 1) {
  const timeline = new Timeline();
  const sent: number[] = [];
  const board = new BenchBoard({
    program: assembledProgram(source),
    side,
    timeline,
    seed,
    supplyVolts: 12.8,
    ambientC: 25,
    transmitted: (byte) => sent.push(byte),
  });
  timeline.onSooner(() => board.chip.stopBefore(timeline.nextCycles));
  const runForMs = (milliseconds: number) => {
    const until = board.chip.cycles + cyclesOfMs(milliseconds);
    while (board.chip.cycles < until) {
      board.chip.run(Math.min(until, timeline.nextCycles));
      timeline.runDue(board.chip.cycles);
    }
  };
  const counts = () =>
    sent.flatMap((low, at) => (at % 2 === 0 && at + 1 < sent.length ? [low + 256 * (sent[at + 1] ?? 0)] : []));
  return { board, side, runForMs, counts };
}

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

describe("the bench's outputs", () => {
  it("stay off from power-up on, whatever the shift registers hold, until output enable goes low", () => {
    const { board, runForMs } = boardWith(`${PINS_OUT}${RELAY}${pause(8)}${latched(0, 0)}${ENABLE}${END}`);
    runForMs(20);
    expect(board.log.entries.map(({ driveMask, lowMask, relayClosed }) => [driveMask, lowMask, relayClosed])).toEqual([
      [0, 0, false],
      [0, 0, true],
    ]);
  });

  it("take the byte sent first as drive channels, the second as low-current channels, at the latch's edge", () => {
    const { board, runForMs } = boardWith(`${PINS_OUT}${RELAY}${pause(8)}${latched(0x08, 0x01)}${ENABLE}${END}`);
    runForMs(20);
    expect(board.log.last).toMatchObject({ driveMask: 0x08, lowMask: 0x01, relayClosed: true });
  });

  it("have no supply before the relay has closed, five milliseconds after its coil", () => {
    const { board, runForMs } = boardWith(`${PINS_OUT}${latched(0x08, 0)}${ENABLE}${RELAY}${END}`);
    runForMs(4);
    expect(board.log.last.driveMask).toBe(0);
    runForMs(2);
    expect(board.log.last.driveMask).toBe(0x08);
    expect(board.log.last.atMs).toBeCloseTo(5, 1);
  });

  it("lose their supply at once when the stop button is pressed", () => {
    const { board, runForMs } = boardWith(`${PINS_OUT}${latched(0x08, 0)}${ENABLE}${RELAY}${END}`);
    runForMs(10);
    board.pressStop(true);
    expect(board.log.last).toMatchObject({ driveMask: 0, relayClosed: false, atMs: expect.closeTo(10, 2) });
    board.pressStop(false);
    runForMs(4);
    expect(board.log.last.driveMask).toBe(0);
  });

  it("go off within microseconds above 30 A and stay off until the latch is cleared", () => {
    const side = new ToldSide();
    side.drivenAmps = 31;
    const { board, runForMs } = boardWith(
      `${PINS_OUT}${latched(0x08, 0)}${ENABLE}${RELAY}${pause(10)}
  sbi 0x05, 1
  cbi 0x08, 5
  sbi 0x0b, 7
  cbi 0x0b, 7
  cbi 0x05, 1
  sbi 0x08, 5
${END}`,
      side,
    );
    runForMs(9);
    const [, on, off] = board.log.entries;
    expect(on).toMatchObject({ driveMask: 0x08, limitTripped: false });
    expect(off).toMatchObject({ driveMask: 0, relayClosed: false, limitTripped: true });
    expect(((off?.atMs ?? 0) - (on?.atMs ?? 0)) * 1000).toBeLessThan(5);
    expect(board.log.last.limitTripped).toBe(true);
    side.drivenAmps = 2;
    runForMs(12);
    expect(board.log.last).toMatchObject({ driveMask: 0x08, limitTripped: false });
  });

  it("let 29 A pass", () => {
    const side = new ToldSide();
    side.drivenAmps = 29;
    const { board, runForMs } = boardWith(`${PINS_OUT}${latched(0x08, 0)}${ENABLE}${RELAY}${END}`, side);
    runForMs(10);
    expect(board.log.last).toMatchObject({ driveMask: 0x08, limitTripped: false });
  });

  it("show a drive channel that failed conducting as soon as the relay closes", () => {
    const { board, runForMs } = boardWith(`${PINS_OUT}${latched(0, 0)}${RELAY}${END}`);
    board.setStuck(0x20);
    runForMs(4);
    expect(board.log.last.driveMask).toBe(0);
    runForMs(3);
    expect(board.log.last.driveMask).toBe(0x20);
  });
});

describe("the bench's inputs", () => {
  it("reach the near and the far converter input through the multiplexer and a divider of 33 in 133", () => {
    const side = new ToldSide();
    side.near[5] = 12;
    side.far[5] = 6;
    for (const [adcPin, volts] of [
      [0, 12],
      [1, 6],
    ] as const) {
      const { runForMs, counts } = boardWith(`${PINS_OUT}${convertsForEver(adcPin, 5)}`, side);
      runForMs(100);
      expect(meanOf(counts())).toBeCloseTo(((volts * 33) / 133 / 4.096) * 1024, 0);
    }
  });

  it.each([
    ["the supply", 3, 12.8 * (33 / 133)],
    ["the current to 10 A", 2, 2.1 * 0.4],
    ["the inrush current", 4, 2.1 * 0.08],
  ])("give %s", (_name, adcPin, volts) => {
    const side = new ToldSide();
    side.drivenAmps = 2.1;
    const { runForMs, counts } = boardWith(
      `${PINS_OUT}${latched(1, 0)}${ENABLE}${RELAY}${pause(8)}${convertsForEver(adcPin, 0)}`,
      side,
    );
    runForMs(100);
    expect(meanOf(counts())).toBeCloseTo((volts / 4.096) * 1024, 0);
  });

  it("read half of the reference from the thermistor at 25 °C, and nothing from the ground check", () => {
    const thermistor = boardWith(`${PINS_OUT}${convertsForEver(0, 13)}`);
    thermistor.runForMs(50);
    expect(meanOf(thermistor.counts())).toBeCloseTo(512, 0);
    const ground = boardWith(`${PINS_OUT}${convertsForEver(0, 15)}`);
    ground.runForMs(50);
    expect(Math.max(...ground.counts())).toBeLessThan(3);
  });

  it("end at full scale above 16.5 V and at zero below ground", () => {
    const side = new ToldSide();
    side.near[0] = 20;
    const high = boardWith(`${PINS_OUT}${convertsForEver(0, 0)}`, side);
    high.runForMs(20);
    expect(new Set(high.counts())).toEqual(new Set([1023]));
    side.near[0] = -12;
    const low = boardWith(`${PINS_OUT}${convertsForEver(0, 0)}`, side);
    low.runForMs(20);
    expect(Math.max(...low.counts())).toBeLessThan(3);
  });

  it("carry half a count of noise, the same for the same seed", () => {
    const side = new ToldSide();
    side.near[0] = 8.06;
    const run = (seed: number) => {
      const { runForMs, counts } = boardWith(`${PINS_OUT}${convertsForEver(0, 0)}`, side, seed);
      runForMs(400);
      return counts();
    };
    const [first, again, other] = [run(7), run(7), run(8)];
    expect(again).toEqual(first);
    expect(other).not.toEqual(first);
    const mean = meanOf(first);
    const deviation = Math.sqrt(meanOf(first.map((value) => (value - mean) ** 2)));
    // Quantisation adds its 1/√12 of a count to the 0.5 of the noise.
    expect(deviation).toBeGreaterThan(0.45);
    expect(deviation).toBeLessThan(0.75);
  });
});
