import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { PortClosed } from "@pinwalk/host/bench/port.js";
import { openVirtualBench } from "@pinwalk/host/bench/virtual/virtual-bench.js";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { assembledProgram } from "./assembled.js";
import { hatchback } from "./sample-plans.js";

let folder = "";
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "pinwalk-image-"));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function imageFile(name: string, text: string): string {
  const path = join(folder, name);
  writeFileSync(path, text);
  return path;
}

/** Intel HEX of a program's first words. */
function hexOf(program: Uint16Array, words: number): string {
  const bytes = [...program.subarray(0, words)].flatMap((word) => [word & 0xff, word >> 8]);
  const record = [bytes.length, 0, 0, 0, ...bytes];
  const sum = record.reduce((total, byte) => total + byte, 0);
  return `:${Buffer.from([...record, -sum & 0xff]).toString("hex")}\n:00000001FF\n`;
}

/** Sleeps in power-down, which the emulator cannot do: it ends the emulation as a programming error would. */
const ENDS_THE_EMULATOR = `
  ldi r16, 5
  out 0x33, r16
  sleep
`;

describe("opening a virtual bench", () => {
  it.each([
    ["an image that is not there", { image: "/nowhere/image.hex" }, "bad-image", /\/nowhere\/image\.hex/],
    ["a plan with an unknown key", { plan: { ...hatchback, colour: "red" } }, "bad-plan", /colour/],
    ["a plan that is no plan", { plan: 7 }, "bad-plan", /plan/],
    ["a fault at a place that is not there", { faults: [{ kind: "open", at: "wire:XX" }] }, "bad-fault", /wire:XX/],
    ["a supply that cannot be", { supplyVolts: 4000 }, "bad-setting", /supplyVolts/],
    ["a supply that is no number", { supplyVolts: Number.NaN }, "bad-setting", /supplyVolts/],
  ] as const)("with %s is refused in words", async (_what, over, code, message) => {
    const opening = openVirtualBench({ plan: hatchback, pace: "fast", ...over });
    await expect(opening).rejects.toMatchObject({ code, message: expect.stringMatching(message) });
  });

  it("with an image that was cut off is refused", async () => {
    const image = imageFile("cut.hex", ":10010000214601360121470136007EFE09D2190140\n");
    await expect(openVirtualBench({ plan: hatchback, pace: "fast", image })).rejects.toMatchObject({
      code: "bad-image",
    });
  });
});

describe("a virtual bench as a port", () => {
  it("says once that it was closed, drops what is written afterwards, and answers no more questions", async () => {
    const bench = await openVirtualBench({ plan: hatchback, pace: "fast" });
    const closed: PortClosed[] = [];
    bench.onClosed((why) => closed.push(why));
    const asked = expect(bench.look()).rejects.toMatchObject({ code: "ended" });
    await bench.close();
    await bench.close();
    bench.write(Uint8Array.of(10));
    expect(closed).toEqual([{ kind: "asked" }]);
    await asked;
    await expect(bench.look()).rejects.toMatchObject({ code: "ended" });
  });

  it.each(["fast", "real"] as const)("is lost, with the reason, when the emulation dies in pace %s", async (pace) => {
    const image = imageFile(`${pace}.hex`, hexOf(assembledProgram(ENDS_THE_EMULATOR), 3));
    const bench = await openVirtualBench({ plan: hatchback, pace, image });
    const why = await new Promise<PortClosed>((resolve) => {
      bench.onClosed(resolve);
      bench.onBytes(() => {});
    });
    expect(why).toMatchObject({ kind: "lost", detail: expect.stringContaining("sleeps") });
  });

  it("refuses a vehicle with a fault at an unknown place, and keeps the one it has", async () => {
    const bench = await openVirtualBench({ plan: hatchback, pace: "fast" });
    const faults = [{ kind: "open", at: "lamp:nowhere.bright" }] as const;
    await expect(bench.setVehicle({ plan: hatchback, faults })).rejects.toMatchObject({ code: "bad-fault" });
    expect(Object.keys((await bench.look()).lampVolts)).toContain("left-rear.bright");
    await bench.close();
  });

  it("in real pace answers by itself, with emulated time going on", async () => {
    const bench = await openVirtualBench({ plan: hatchback, pace: "real" });
    const greeting = await new Promise<string>((resolve) => {
      let heard = "";
      bench.onBytes((bytes) => {
        heard += Buffer.from(bytes).toString("latin1");
        if (heard.endsWith("\n")) resolve(heard);
      });
    });
    expect(greeting).toMatch(/^\n~hello /);
    const beforeMs = bench.clock.nowMs();
    await new Promise<void>((resolve) => {
      bench.clock.after(20, resolve);
    });
    expect(bench.clock.nowMs() - beforeMs).toBeGreaterThanOrEqual(20);
    await bench.close();
  });
});
