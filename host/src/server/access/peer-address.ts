import { BlockList, isIPv4, isIPv6 } from "node:net";

const loopback = new BlockList();
loopback.addSubnet("127.0.0.0", 8, "ipv4");
loopback.addAddress("::1", "ipv6");

/** Without the prefix that a dual-stack socket puts before an IPv4 address. */
export function plainAddress(address: string): string {
  const mapped = /^::ffff:(\d+\.\d+\.\d+\.\d+)$/i.exec(address);
  return mapped?.[1] ?? address;
}

/**
 * Whether the other end of a connection is this very machine. Only the address of the connection itself counts: what a
 * header says of it, anybody can write.
 */
export function isLoopback(address: string): boolean {
  const plain = plainAddress(address);
  if (isIPv4(plain)) return loopback.check(plain, "ipv4");
  return isIPv6(plain) && loopback.check(plain, "ipv6");
}
