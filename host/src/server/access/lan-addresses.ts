import { networkInterfaces } from "node:os";

/**
 * The IPv4 addresses of this machine on its networks, loopback left out. IPv6 must be asked for by its address: its temporary
 * ones change under a code that has just been shown.
 */
export function lanAddresses(interfaces: ReturnType<typeof networkInterfaces> = networkInterfaces()): string[] {
  return Object.values(interfaces)
    .flatMap((list) => list ?? [])
    .filter(({ internal, family }) => !internal && family === "IPv4")
    .map(({ address }) => address);
}
