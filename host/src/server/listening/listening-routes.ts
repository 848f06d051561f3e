import { Router } from "express";
import type { ListeningDesk } from "./listening-desk.js";

/** The finding sheet as a file: `/listening/sheet`. */
export function listeningRoutes(desk: ListeningDesk): Router {
  const router = Router();
  router.get("/sheet", (_request, response) => {
    response.set("Cache-Control", "no-store");
    response.attachment("pinwalk-wires.json");
    response.type("json").send(`${JSON.stringify(desk.sheet.document(), null, 2)}\n`);
  });
  return router;
}
