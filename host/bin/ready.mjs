import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { dirname, join, relative } from "node:path";
import { fileURLToPath } from "node:url";

/**
 * Makes a fresh clone runnable: installs the packages that are missing and compiles what has changed.
 * Plain JavaScript on Node's own modules, because it runs before anything is installed.
 */
export const repositoryRoot = join(dirname(fileURLToPath(import.meta.url)), "..", "..");

const leastNode = [20, 19];
const sources = [
  "package.json",
  "package-lock.json",
  "tsconfig.base.json",
  "firmware-protocol/protocol.json",
  "firmware-protocol/src",
  "firmware-protocol/tsconfig.json",
  "host/src",
  "host/tsconfig.json",
  "dashboard/index.html",
  "dashboard/src",
  "dashboard/public",
  "dashboard/tsconfig.json",
  "dashboard/vite.config.ts",
];
const buildStamp = join(repositoryRoot, "host", "dist", ".built-from");
const buildLock = join(repositoryRoot, "node_modules", ".pinwalk-building");

/** Ends the process with a clear word when Node is older than the packages need. */
export function requireNode() {
  const [major = 0, minor = 0] = process.versions.node.split(".").map(Number);
  const [wantMajor, wantMinor] = leastNode;
  if (major > wantMajor || (major === wantMajor && minor >= wantMinor)) return;
  process.stderr.write(`Pinwalk needs Node ${leastNode.join(".")} or newer; this is ${process.versions.node}.\n`);
  process.exit(64);
}

/** True when every package of the lock file stands in node_modules in the locked version. */
export function packagesInstalled() {
  const installedFile = join(repositoryRoot, "node_modules", ".package-lock.json");
  if (!existsSync(installedFile)) return false;
  const locked = JSON.parse(readFileSync(join(repositoryRoot, "package-lock.json"), "utf8")).packages;
  const installed = JSON.parse(readFileSync(installedFile, "utf8")).packages;
  return Object.entries(locked).every(([path, entry]) => {
    if (!path.startsWith("node_modules/") || entry.link || entry.optional || entry.devOptional || entry.peer)
      return true;
    return installed[path]?.version === entry.version;
  });
}

function listFiles(path) {
  if (!existsSync(path)) return [];
  if (statSync(path).isFile()) return [path];
  return readdirSync(path)
    .sort()
    .flatMap((name) => listFiles(join(path, name)));
}

/** One hash over everything that the compiled output depends on. */
export function hashOfSources() {
  const hash = createHash("sha256");
  for (const file of sources.flatMap((source) => listFiles(join(repositoryRoot, source)))) {
    hash.update(relative(repositoryRoot, file)).update("\0").update(readFileSync(file)).update("\0");
  }
  return hash.digest("hex");
}

function isBuilt(hash) {
  return existsSync(buildStamp) && readFileSync(buildStamp, "utf8") === hash;
}

/** Runs a command in the repository with its output on stderr, so that stdout stays free for documents. */
export function run(command, args, quiet = false) {
  const result = spawnSync(command, args, {
    cwd: repositoryRoot,
    stdio: ["ignore", quiet ? "pipe" : 2, 2],
    shell: process.platform === "win32",
  });
  if (result.error) throw result.error;
  if (result.status !== 0) {
    if (quiet && result.stdout) process.stderr.write(result.stdout);
    throw new Error(`${command} ${args.join(" ")} ended with ${result.status ?? result.signal}`);
  }
}

function holderIsAlive() {
  try {
    process.kill(Number(readFileSync(join(buildLock, "pid"), "utf8")), 0);
    return true;
  } catch {
    return false;
  }
}

/** Holds a lock while `work` runs, so that two commands started together do not compile into each other. */
async function alone(work) {
  const giveUpAt = Date.now() + 300_000;
  for (;;) {
    try {
      mkdirSync(buildLock);
      break;
    } catch (error) {
      if (error.code !== "EEXIST") throw error;
      const age = Date.now() - statSync(buildLock, { throwIfNoEntry: false })?.mtimeMs;
      if (age > 2000 && !holderIsAlive()) rmSync(buildLock, { recursive: true, force: true });
      if (Date.now() > giveUpAt) throw new Error(`another build holds ${buildLock}; delete it if none is running`);
      await new Promise((resolve) => setTimeout(resolve, 200));
    }
  }
  writeFileSync(join(buildLock, "pid"), String(process.pid));
  try {
    work();
  } finally {
    rmSync(buildLock, { recursive: true, force: true });
  }
}

/** Compiles host and wire contract, and bundles the dashboard. */
export function build() {
  const tool = (...path) => join(repositoryRoot, "node_modules", ...path);
  run(process.execPath, [tool("typescript", "bin", "tsc"), "-b", "firmware-protocol", "host"]);
  run(process.execPath, [tool("vite", "bin", "vite.js"), "build", "dashboard", "--logLevel", "warn"]);
}

/**
 * Installs and builds what is missing or out of date. Cheap when all is in place.
 * @param {{ install?: boolean }} options `install: false` never touches node_modules.
 */
export async function ensureReady({ install = true } = {}) {
  requireNode();
  if (!packagesInstalled()) {
    if (!install) throw new Error("packages are missing; run npm ci in the repository first");
    process.stderr.write("Installing packages (once) …\n");
    run("npm", ["ci", "--no-audit", "--no-fund", "--loglevel=error"]);
  }
  const hash = hashOfSources();
  if (isBuilt(hash)) return;
  await alone(() => {
    if (isBuilt(hash)) return;
    process.stderr.write("Building …\n");
    build();
    writeFileSync(buildStamp, hash);
  });
}
