import { ensureReady } from "./ready.mjs";

await ensureReady();
