import { fileURLToPath } from "node:url";
import { defineConfig } from "vite";

// JSX is compiled to preact by way of tsconfig.json. Nothing is inlined: the server's content policy allows its own files alone.
export default defineConfig({
  root: fileURLToPath(new URL(".", import.meta.url)),
  build: {
    outDir: "dist",
    emptyOutDir: true,
    assetsInlineLimit: 0,
    target: "es2022",
    modulePreload: { polyfill: false },
  },
  server: { host: "127.0.0.1" },
});
