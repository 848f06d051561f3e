import type { IncomingMessage } from "node:http";
import { isLoopback, plainAddress } from "./peer-address.js";

/**
 * The names under which this server may be addressed, as `host:port`, by the address on which a connection arrived. A
 * name that was pointed at this machine afterwards is none of them, so a foreign page cannot come in by one.
 */
export class OwnNames {
  readonly #port: number;

  constructor(port: number) {
    this.#port = port;
  }

  /** Of a connection that arrived at this address of the machine. */
  at(localAddress: string | undefined): readonly string[] {
    if (localAddress === undefined) return [];
    const hosts = isLoopback(localAddress) ? ["127.0.0.1", "localhost", "[::1]"] : [hostOf(localAddress)];
    // Browsers leave out the port that is usual for http.
    return hosts.flatMap((host) => (this.#port === 80 ? [host, `${host}:80`] : [`${host}:${this.#port}`]));
  }
}

/** An address as it stands in a URL. */
export function hostOf(address: string): string {
  const plain = plainAddress(address);
  return plain.includes(":") ? `[${plain}]` : plain;
}

/** Whether a request is addressed to this server by a name of its own and comes from no foreign page. */
export function mayEnter({ headers, socket }: IncomingMessage, names: OwnNames): boolean {
  const host = headers.host?.toLowerCase();
  if (host === undefined || !names.at(socket.localAddress).includes(host)) return false;
  // Programs send no origin; browsers always send one with a socket and with a POST.
  return headers.origin === undefined || headers.origin.toLowerCase() === `http://${host}`;
}
