import { setPriority } from "node:os";
import { isRecordsError } from "../../records/records-error.js";
import { verifyStore } from "../../records/verify/verify-store.js";
import type { VerifyLine } from "./records-contract.js";

/** The whole of the process that verifies a store: its path comes as the one argument, lines go back as messages. */
async function verify(path: string): Promise<VerifyLine> {
  let told = 0;
  try {
    const report = await verifyStore(path, {
      onProgress: (done, all) => {
        // Ten times a second is as often as a person can read it.
        if (Date.now() - told < 100) return;
        told = Date.now();
        say({ kind: "progress", done, all });
      },
    });
    return { kind: "report", report };
  } catch (error) {
    const message = error instanceof Error ? error.message : String(error);
    return { kind: "failed", code: isRecordsError(error) ? error.code : "internal", message };
  }
}

function say(line: VerifyLine, then?: () => void): void {
  process.send?.(line, undefined, {}, () => then?.());
}

// A walk at the same time goes first.
setPriority(10);
// Whoever asked has gone.
process.on("disconnect", () => process.exit(0));
say(await verify(process.argv[2] ?? ""), () => process.disconnect());
