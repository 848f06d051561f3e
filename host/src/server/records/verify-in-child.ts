import { fork } from "node:child_process";
import { fileURLToPath } from "node:url";
import type { VerifyLine } from "./records-contract.js";

/**
 * Verifies a store in a process of its own, so that a large store never keeps the server from a bench, and because
 * reading the store's file by hand would drop the locks that SQLite has on it in this one. `onLine` hears everything, the
 * report or the failure last. Settles when the process is gone.
 */
export function verifyInChild(
  path: string,
  onLine: (line: VerifyLine) => void,
): { readonly done: Promise<void>; stop(): void } {
  const child = fork(fileURLToPath(new URL("./verify-child.js", import.meta.url)), [path], {
    stdio: ["ignore", "ignore", "ignore", "ipc"],
  });
  let ended = false;
  child.on("message", (line: VerifyLine) => {
    ended ||= line.kind !== "progress";
    onLine(line);
  });
  const done = new Promise<void>((resolve) => {
    const gone = () => {
      if (!ended) {
        ended = true;
        onLine({ kind: "failed", code: "internal", message: "The check of the records broke off. Start it again." });
      }
      resolve();
    };
    child.once("error", gone);
    child.once("close", gone);
  });
  return { done, stop: () => child.kill() };
}
