import { spawnSync } from "node:child_process";
import { existsSync } from "node:fs";
import { delimiter, join } from "node:path";

/** What the checks need beyond npm: the Debian package, how its presence shows, and which checks wait for it. */
export const debianTools = [
  { package: "gcc-avr", command: "avr-gcc", checks: "rebuilding the firmware image byte for byte" },
  { package: "avr-libc", file: "/usr/lib/avr/include/avr/io.h", checks: "rebuilding the firmware image byte for byte" },
  { package: "binutils-avr", command: "avr-size", checks: "size of the firmware image" },
  { package: "gcc", command: "gcc", checks: "golden transcripts through the firmware's C parser" },
  { package: "make", command: "make", checks: "building the firmware" },
  { package: "clang-format", command: "clang-format", checks: "formatting of the firmware's C" },
  { package: "clang", command: "clang", checks: "the firmware's parser under sanitizers" },
  {
    package: "libclang-rt-14-dev",
    file: "/usr/lib/llvm-14/lib/clang/14.0.6/include/fuzzer/FuzzedDataProvider.h",
    checks: "the firmware's parser under sanitizers",
  },
  { package: "libsimavr-dev", file: "/usr/include/simavr/sim_avr.h", checks: "the image on a second emulator" },
  { package: "libelf-dev", file: "/usr/include/libelf.h", checks: "the image on a second emulator" },
  { package: "socat", command: "socat", checks: "host and bench over a pseudo-terminal pair" },
  { package: "ngspice", command: "ngspice", checks: "expected currents against SPICE" },
  { package: "poppler-utils", command: "pdftotext", checks: "certificates read back as text and as pages" },
  { package: "chromium", command: "chromium", checks: "the dashboard's page tests" },
];

function onPath(command) {
  return (process.env.PATH ?? "").split(delimiter).some((folder) => folder !== "" && existsSync(join(folder, command)));
}

function missingTools() {
  return debianTools.filter((tool) => !(tool.command ? onPath(tool.command) : existsSync(tool.file)));
}

function asRoot(args) {
  const root = process.getuid?.() === 0;
  if (!root && !onPath("sudo")) return false;
  const [command, ...rest] = root ? args : ["sudo", "-n", ...args];
  const env = { ...process.env, DEBIAN_FRONTEND: "noninteractive" };
  return spawnSync(command, rest, { stdio: ["ignore", "ignore", "inherit"], env }).status === 0;
}

/**
 * Installs what is missing when this user may, and returns what is missing still.
 * Never asks for a password.
 */
export function provideDebianTools() {
  const missing = missingTools();
  if (missing.length === 0 || !onPath("apt-get")) return missing;
  process.stderr.write(`Installing Debian packages: ${missing.map((tool) => tool.package).join(" ")} …\n`);
  const names = missing.map((tool) => tool.package);
  if (asRoot(["apt-get", "update", "-qq"]))
    asRoot(["apt-get", "install", "-y", "-qq", "--no-install-recommends", ...names]);
  return missingTools();
}
