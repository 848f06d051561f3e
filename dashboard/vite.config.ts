import { fileURLToPath } from "node:url";
import { build, defineConfig, type Plugin } from "vite";

const pathOf = (path: string) => fileURLToPath(new URL(path, import.meta.url));

/** For the shell worker: which files make up the page, so that it opens without the server. */
function listShellFiles(): Plugin {
  return {
    name: "list-shell-files",
    generateBundle(_options, bundle) {
      const assets = Object.keys(bundle).filter((name) => name.startsWith("assets/"));
      this.emitFile({ type: "asset", fileName: "shell-files.json", source: JSON.stringify(assets.sort()) });
    },
  };
}

/**
 * The page of a browser that is not paired stands apart from the dashboard: the server gives strangers this folder and no
 * other. Built afterwards, because the dashboard's own build empties the folder around it.
 */
function buildPairingPage(): Plugin {
  return {
    name: "build-pairing-page",
    async closeBundle() {
      await build({
        configFile: false,
        root: pathOf("src/pairing"),
        base: "/pair/",
        logLevel: "warn",
        build: { ...shared, outDir: pathOf("dist/pair") },
      });
    },
  };
}

const shared = {
  emptyOutDir: true,
  assetsInlineLimit: 0,
  target: "es2022",
  modulePreload: { polyfill: false },
} as const;

// JSX is compiled to preact by way of tsconfig.json. Nothing is inlined: the server's content policy allows its own files alone.
export default defineConfig({
  root: pathOf("."),
  plugins: [listShellFiles(), buildPairingPage()],
  build: {
    ...shared,
    outDir: "dist",
    rollupOptions: {
      input: { index: pathOf("index.html"), "shell-worker": pathOf("src/shell-worker/shell-worker.ts") },
      output: {
        // A worker has to keep its name to be replaced by a newer one.
        entryFileNames: ({ name }) => (name === "shell-worker" ? "[name].js" : "assets/[name]-[hash].js"),
      },
    },
  },
  server: { host: "127.0.0.1" },
});
