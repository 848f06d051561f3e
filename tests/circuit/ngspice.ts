import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Network } from "@pinwalk/host/circuit/network.js";
import { spiceDeck } from "./spice-deck.mjs";

/** Debian's ngspice, run in batch mode. */
export const ngspiceThere = spawnSync("ngspice", ["--version"], { stdio: "ignore" }).error === undefined;

/** Says by name what is left out without ngspice; under CI that is a failure, not a skip. */
export function leaveOutWithoutNgspice(what: string): boolean {
  if (ngspiceThere || process.env.CI === "true") return false;
  console.warn(`left out: ${what} (needs the Debian package ngspice)`);
  return true;
}

/** Runs a deck with control lines and returns what it printed. */
export function runNgspice(deck: string, control: readonly string[]): string {
  const folder = mkdtempSync(join(tmpdir(), "pinwalk-spice-"));
  try {
    const file = join(folder, "deck.cir");
    writeFileSync(file, `${deck}\n.control\nset numdgt=12\n${control.join("\n")}\nquit\n.endc\n.end\n`);
    const run = spawnSync("ngspice", ["-b", file], { encoding: "utf8", timeout: 50_000 });
    if (run.error !== undefined) throw run.error;
    return `${run.stdout}\n${run.stderr}`;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Operating point by ngspice: volts by node and amps by part id. */
export function spiceOperatingPoint(
  network: Network,
  celsius = 20,
): { volts: ReadonlyMap<string, number>; amps: ReadonlyMap<string, number> } {
  const deck = spiceDeck(network, celsius);
  const printed = runNgspice(deck.text, ["op", "print all"]);
  const values = new Map<string, number>();
  for (const match of printed.matchAll(/^(\S+) = ([-+0-9.e]+)\s*$/gim)) {
    values.set((match[1] ?? "").toLowerCase(), Number(match[2]));
  }
  if (values.size === 0) throw new Error(`ngspice found no operating point:\n${printed}`);
  const volts = new Map<string, number>();
  for (const [node, spice] of deck.nodeNames) volts.set(node, spice === "0" ? 0 : (values.get(spice) ?? Number.NaN));
  const amps = new Map<string, number>();
  for (const [id, spice] of deck.currentNames) amps.set(id, values.get(spice) ?? Number.NaN);
  return { volts, amps };
}
