import { type ChildProcess, spawn, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

/** Two serial ports that are the two ends of one line, held together by a socat process. */
export interface PtyPair {
  readonly hostPath: string;
  readonly benchPath: string;
  /** Kills socat: for either end that is a cable pulled out. */
  pull(): void;
  remove(): void;
}

export const socatIsThere = spawnSync("socat", ["-V"], { stdio: "ignore" }).status === 0;

/** Tests over pseudo-terminals are left out by name without socat, and fail without it where everything has to run. */
export function needsSocat(): { readonly skip: boolean } {
  return { skip: !socatIsThere && process.env.CI !== "true" };
}

export async function openPtyPair(): Promise<PtyPair> {
  const folder = mkdtempSync(join(tmpdir(), "pinwalk-pty-"));
  const hostPath = join(folder, "host");
  const benchPath = join(folder, "bench");
  const end = (path: string) => `pty,raw,echo=0,link=${path}`;
  const socat = spawn("socat", ["-d", "-d", end(hostPath), end(benchPath)], { stdio: ["ignore", "ignore", "pipe"] });
  await ready(socat);
  const pull = () => {
    socat.kill("SIGKILL");
  };
  return {
    hostPath,
    benchPath,
    pull,
    remove: () => {
      pull();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** Socat says on its error output when both ends are there. */
function ready(socat: ChildProcess): Promise<void> {
  return new Promise((resolve, reject) => {
    let said = "";
    socat.once("error", reject);
    socat.once("exit", () => reject(new Error(`socat ended: ${said}`)));
    socat.stderr?.on("data", (chunk: Buffer) => {
      said += chunk.toString();
      if (said.includes("starting data transfer loop")) resolve();
    });
  });
}
