import { type RequestHandler, Router } from "express";
import { bayOfRequest } from "./bay-address.js";
import type { Bay, Bays } from "./bays.js";

/** Hands a request on to the routes of the bay that it is about; they are made for each bay once. */
export function routesOfBay(bays: Bays, routersOf: (bay: Bay) => Readonly<Record<string, Router>>): RequestHandler {
  const made = new WeakMap<Bay, Router>();
  return (request, response, next) => {
    const bay = bays.get(bayOfRequest(request));
    // Its page can be asked for before it is there.
    if (!bay) return next();
    let routes = made.get(bay);
    if (!routes) {
      routes = Router();
      for (const [path, router] of Object.entries(routersOf(bay))) routes.use(path, router);
      made.set(bay, routes);
    }
    routes(request, response, next);
  };
}
