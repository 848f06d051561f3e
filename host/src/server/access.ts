import type { IncomingHttpHeaders } from "node:http";

/**
 * Who may talk to this server. It listens on the loopback address alone; what is left to keep out are other pages in
 * the same browser: a page of another origin, or one whose name was pointed at this machine afterwards.
 */
export interface Access {
  /** The names under which this server may be addressed, as `host:port`. */
  readonly hosts: ReadonlySet<string>;
}

/** Access for this machine alone, at one port. */
export function loopbackAccess(port: number): Access {
  return { hosts: new Set([`127.0.0.1:${port}`, `localhost:${port}`, `[::1]:${port}`]) };
}

/** Whether a request is addressed to this server by a name of its own and comes from no foreign page. */
export function mayEnter(headers: IncomingHttpHeaders, access: Access): boolean {
  const { host, origin } = headers;
  if (host === undefined || !access.hosts.has(host.toLowerCase())) return false;
  // Programs send no origin; browsers always send one with a socket.
  return origin === undefined || isOwnOrigin(origin, access);
}

function isOwnOrigin(origin: string, access: Access): boolean {
  const own = /^http:\/\/([^/]+)$/.exec(origin.toLowerCase());
  return own?.[1] !== undefined && access.hosts.has(own[1]);
}
