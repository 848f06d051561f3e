import { Router } from "express";
import type { Workbench } from "./workbench.js";

/** The documents of the last walk as files: `/documents/readings` and `/documents/findings`, `?walk=` its number. */
export function documentRoutes(workbench: Workbench): Router {
  const router = Router();
  router.get("/:kind", (request, response) => {
    const { kind } = request.params;
    const run = workbench.run;
    const asked = request.query.walk;
    const document = kind === "readings" ? run?.readings : kind === "findings" ? run?.findings : undefined;
    if (!document || (asked !== undefined && asked !== String(run?.view.number))) {
      response.status(404).type("text").send("There is no such document: the walk it belongs to is not the last one.");
      return;
    }
    response.set("Cache-Control", "no-store");
    response.attachment(`pinwalk-${kind}-walk-${run?.view.number}.json`);
    response.type("json").send(`${JSON.stringify(document, null, 2)}\n`);
  });
  return router;
}
