import type { RequestHandler } from "express";
import type { OwnNames } from "./entry-check.js";
import { isLoopback } from "./peer-address.js";

/** Headers of every answer: the page may load and reach this server alone, and nothing may frame or embed it. */
export function pageHeaders(names: OwnNames): RequestHandler {
  return (request, response, next) => {
    // Some browsers do not count a socket of the same origin as 'self'.
    const sockets = names
      .at(request.socket.localAddress)
      .filter((host) => !host.startsWith("["))
      .map((host) => `ws://${host}`);
    const policy = [
      "default-src 'none'",
      "script-src 'self'",
      "style-src 'self'",
      "img-src 'self'",
      "manifest-src 'self'",
      "worker-src 'self'",
      `connect-src 'self' ${sockets.join(" ")}`,
      "base-uri 'none'",
      "form-action 'none'",
      "frame-ancestors 'none'",
    ].join("; ");
    response.set({
      "Content-Security-Policy": policy,
      // Without encryption browsers trust a page of this very machine alone, and object to this one elsewhere.
      ...(isLoopback(request.socket.localAddress ?? "") ? { "Cross-Origin-Opener-Policy": "same-origin" } : {}),
      "Cross-Origin-Resource-Policy": "same-origin",
      "Referrer-Policy": "no-referrer",
      "X-Content-Type-Options": "nosniff",
    });
    next();
  };
}
