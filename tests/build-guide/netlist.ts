import { execFileSync } from "node:child_process";
import { fileURLToPath } from "node:url";

export const hardwareFolder = fileURLToPath(new URL("../../firmware-protocol/hardware/", import.meta.url));

export interface DesignPart {
  readonly value: string;
  readonly part: string;
  readonly why: string;
  readonly pins: readonly string[];
  readonly open?: readonly string[];
  readonly left?: readonly string[];
  readonly right?: readonly string[];
}

export interface Netlist {
  readonly parts: Readonly<Record<string, DesignPart>>;
  readonly nets: Readonly<Record<string, readonly string[]>>;
}

/** Parts and nets of the whole bench, every repetition written out, as the generator sees them. */
export function netlist(): Netlist {
  const text = execFileSync(process.execPath, [`${hardwareFolder}generate.mjs`, "--netlist"], {
    encoding: "utf8",
    maxBuffer: 1 << 24,
  });
  return JSON.parse(text) as Netlist;
}

/** Leg of the controller by its port pin, from the names on its symbol: `PC5` → `U1.28`. */
export function controllerLegs({ parts }: Netlist): Map<string, string> {
  const controller = parts.U1;
  const legs = new Map<string, string>();
  for (const entry of [...(controller?.left ?? []), ...(controller?.right ?? [])]) {
    const port = /P[BCD]\d/.exec(entry)?.[0];
    if (port !== undefined) legs.set(port, `U1.${entry.split(" ")[0]}`);
  }
  return legs;
}
