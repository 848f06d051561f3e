import { fileURLToPath } from "node:url";
import { defineConfig } from "vite";

// The page of a browser that is not paired yet stands apart from the dashboard: the server gives strangers this folder and no other.
export default defineConfig({
  root: fileURLToPath(new URL("src/pairing", import.meta.url)),
  base: "/pair/",
  build: {
    outDir: fileURLToPath(new URL("dist/pair", import.meta.url)),
    emptyOutDir: true,
    assetsInlineLimit: 0,
    target: "es2022",
    modulePreload: { polyfill: false },
  },
});
