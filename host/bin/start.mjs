import { ensureReady } from "./ready.mjs";

// `npm start`: install and build what is missing, then the dashboard. Further arguments go to `pinwalk serve`.
await ensureReady();
process.argv.splice(2, 0, "serve", "--open");
await import("../dist/cli/main.js");
