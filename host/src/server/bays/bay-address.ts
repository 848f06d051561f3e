import type { IncomingMessage } from "node:http";
import type { RequestHandler } from "express";

/** `/bay/2/documents/…` is `/documents/…` of the second bay; an address without it is the first one's. */
const prefix = /^\/bay\/([1-9])(?=\/)/;
const bayOf = new WeakMap<IncomingMessage, number>();

/** Takes the bay off an address, so that everything behind sees the address alone. */
export const bayAddress: RequestHandler = (request, response, next) => {
  const found = prefix.exec(request.url);
  if (found) {
    request.url = request.url.slice(found[0].length);
    bayOf.set(request, Number(found[1]));
  } else if (/^\/bay\/[1-9]$/.test(request.path)) {
    response.redirect(308, `${request.path}/`);
    return;
  }
  next();
};

/** Which bay a request was about. */
export function bayOfRequest(request: IncomingMessage): number {
  return bayOf.get(request) ?? 1;
}

/** The room of all pages that show this bay. */
export const roomOfBay = (number: number): string => `bay:${number}`;

/** Which bay the page behind a socket shows. */
export function bayOfSocket(query: Readonly<Record<string, unknown>>): number {
  const { bay } = query;
  return typeof bay === "string" && /^[1-9]$/.test(bay) ? Number(bay) : 1;
}
