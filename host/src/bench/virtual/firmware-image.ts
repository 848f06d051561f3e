import { readFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { VirtualBenchError } from "./virtual-bench-error.js";

/** Where the committed firmware image lies: the one that people flash. */
export const firmwareImagePath = fileURLToPath(
  new URL("../../../../firmware-protocol/firmware/image/pinwalk-bench.hex", import.meta.url),
);

/** Text of a firmware image; throws `bad-image` with the path when it cannot be read. */
export async function readFirmwareImage(path: string = firmwareImagePath): Promise<string> {
  try {
    return await readFile(path, "latin1");
  } catch (cause) {
    throw new VirtualBenchError("bad-image", `The firmware image ${path} cannot be read.`, { cause });
  }
}
