import { parentPort } from "node:worker_threads";
import { weighDraft } from "./weigh-draft.js";

// A thread of its own: the thread of the server keeps benches awake, and must never think for long.
parentPort?.on("message", (draft: unknown) => parentPort?.postMessage(weighDraft(draft)));
