import { Router } from "express";
import type { FlexWatchDesk } from "./flex-watch-desk.js";

/** The result of the last flex watch as a file: `/flex-watch/result`, `?run=` its number. */
export function flexWatchRoutes(desk: FlexWatchDesk): Router {
  const router = Router();
  router.get("/result", (request, response) => {
    const asked = request.query.run;
    const result = desk.result;
    if (!result || (asked !== undefined && asked !== String(result.run))) {
      response
        .status(404)
        .type("text")
        .send("There is no such result: the flex watch it belongs to is not the last one.");
      return;
    }
    response.set("Cache-Control", "no-store");
    response.attachment(`pinwalk-flex-${result.run}.json`);
    response.type("json").send(`${JSON.stringify(result.document, null, 2)}\n`);
  });
  return router;
}
