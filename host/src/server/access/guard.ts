import type { RequestHandler } from "express";
import { mayEnter, type OwnNames } from "./entry-check.js";
import { needOfRoute } from "./needs.js";
import type { PeopleDesk } from "./people-desk.js";

/** Before every page and request: only under a name of this server, only from its own pages, and only for whoever may. */
export function guard(names: OwnNames, people: PeopleDesk): RequestHandler {
  return (request, response, next) => {
    if (!mayEnter(request, names)) {
      response.status(403).type("text").send("This dashboard answers on its own address alone.");
      return;
    }
    const person = people.personOf(request);
    const looks = request.method === "GET" || request.method === "HEAD";
    const refused = people.refusal(person, needOfRoute(request.method, request.path), looks);
    if (!refused) return next();
    response.set("Cache-Control", "no-store");
    const opensPage = request.method === "GET" && request.headers.accept?.includes("text/html");
    if (refused.code === "not-paired" && opensPage) response.redirect(303, "/pair/");
    else response.status(refused.code === "not-paired" ? 401 : 403).json(refused);
  };
}
