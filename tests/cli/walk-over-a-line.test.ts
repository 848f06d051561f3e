import { mkdtempSync, readdirSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { findingsSchema } from "@pinwalk/host/diagnosis/findings.js";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { type EventProcess, startEventProcess } from "../link/event-process.js";
import { needsSocat, openPtyPair, type PtyPair } from "../link/pty-pair.js";
import { hatchback, PinwalkCommand, pinwalk } from "./pinwalk-command.js";

const benchScript = fileURLToPath(import.meta.resolve("@pinwalk/host/bench/virtual/bench-on-pty-process.js"));

/** The bench owes it within 1 s of the last valid line; 100 ms are for whoever looks. */
const mostAfterLastLineMs = 1100;

type Event = Readonly<Record<string, unknown>>;
const drives = (event: Event): boolean => event.event === "output" && Number(event.driveMask) !== 0;
const isOff = (event: Event): boolean =>
  event.event === "output" && event.driveMask === 0 && event.lowMask === 0 && event.relayClosed === false;

describe.skipIf(needsSocat().skip)("pinwalk walk and a bench as two processes on one line (needs socat)", () => {
  let pair: PtyPair;
  let bench: EventProcess;

  beforeEach(async () => {
    pair = await openPtyPair();
    bench = startEventProcess(benchScript, ["--port", pair.benchPath, "--plan", hatchback]);
    await bench.event((event) => event.event === "ready");
  });

  afterEach(async () => {
    await bench.kill("SIGTERM");
    pair.remove();
  });

  const command = (...more: string[]) =>
    new PinwalkCommand(["walk", hatchback, "--bench", pair.hostPath, "--checked", "--json", ...more]);

  /** The first output event after the bench began to drive in which everything was off. */
  const offAfterDriving = async (): Promise<Event> => {
    const from = bench.events.indexOf(await bench.event(drives));
    return await bench.event((event) => bench.events.indexOf(event) > from && isOff(event));
  };

  it("walks to a verdict, and leaves everything off", async () => {
    const { code, out, err } = await command().ended;
    expect([0, 2], err).toContain(code);
    expect(findingsSchema.parse(JSON.parse(out)).circuits.map(({ verdict }) => verdict)).toEqual([
      "pass",
      "pass",
      "pass",
    ]);
    expect(isOff(bench.events.findLast((event) => event.event === "output") ?? {})).toBe(true);
  });

  it("turns everything off at Ctrl-C in mid-drive, before it ends and long before the bench would by itself", async () => {
    const folder = mkdtempSync(join(tmpdir(), "pinwalk-line-"));
    const running = command("--readings", join(folder, "readings.json"));
    await bench.event(drives);
    running.signal("SIGINT");
    const { code, out, err } = await running.ended;
    expect(code).toBe(3);
    expect(out).toBe("");
    expect(err).toContain("Every output is off: the bench has said so.");
    const off = await offAfterDriving();
    const lines = bench.events.slice(0, bench.events.indexOf(off)).filter((event) => event.event === "valid-line");
    // It was told, and did not fall silent.
    expect(Number(off.atMs) - Number(lines.at(-1)?.atMs)).toBeLessThan(100);
    expect(readdirSync(folder)).toEqual([]);
  });

  it("killed without a word in mid-drive leaves the bench to its own second of silence", async () => {
    const running = command();
    await bench.event(drives);
    running.signal("SIGKILL");
    await running.ended;
    const off = await offAfterDriving();
    const lines = bench.events.slice(0, bench.events.indexOf(off)).filter((event) => event.event === "valid-line");
    expect(Number(off.atMs) - Number(lines.at(-1)?.atMs)).toBeLessThan(mostAfterLastLineMs);
  });

  it("with the cable pulled in mid-drive could not test, says what to do, and the bench goes off by itself", async () => {
    const running = command();
    await bench.event(drives);
    pair.pull();
    const { code, out, err } = await running.ended;
    expect(code).toBe(3);
    expect(out).toBe("");
    expect(err).toMatch(/port-lost.*Plug the cable in again/s);
    expect(err).toContain("turns everything off by itself");
    await offAfterDriving();
  });

  it("is found and named by `pinwalk benches`", async () => {
    const { code, out } = await pinwalk("benches", "--port", pair.hostPath);
    expect(code).toBe(0);
    expect(out).toContain(pair.hostPath);
    expect(out).toContain("never calibrated");
  });

  it("finds the port busy while another walk holds it", async () => {
    const running = command();
    await bench.event(drives);
    const second = await command().ended;
    expect(second.code).toBe(3);
    expect(second.err).toContain("port-busy");
    expect([0, 2]).toContain((await running.ended).code);
  });
});
