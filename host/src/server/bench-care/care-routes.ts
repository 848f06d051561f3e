import { Router } from "express";
import { z } from "zod";
import type { SerialLog } from "../../bench/serial-log.js";
import type { SerialLogView } from "./bench-care-contract.js";
import type { CareDocuments } from "./care-documents.js";
import { carePage, carePagePolicy } from "./care-page.js";
import { serialLineView } from "./line-words.js";

const serialQuery = z.object({
  after: z.coerce.number().int().min(0).max(Number.MAX_SAFE_INTEGER).default(0),
  path: z.string().min(1).max(256).optional(),
});

/** Lines in one answer; a page that has just been opened wants the last ones alone. */
const mostLines = 500;
/** Lines in a file: more than the log holds. */
const wholeLog = 20_000;

/** The serial log, and the documents of calibrations and self-tests, under `/bench-care`. Looking changes nothing. */
export function careRoutes(log: SerialLog, documents: CareDocuments): Router {
  const router = Router();
  router.use((_request, response, next) => {
    response.set("Cache-Control", "no-store");
    next();
  });
  router.get("/serial", (request, response) => {
    const query = serialQuery.safeParse(request.query);
    if (!query.success) {
      response.status(400).json({ code: "bad-request", message: "The request has not the right form." });
      return;
    }
    const { after, path } = query.data;
    const answer: SerialLogView = { lines: log.after(after, mostLines, path).map(serialLineView), last: log.last };
    response.json(answer);
  });
  router.get("/serial.txt", (request, response) => {
    const query = serialQuery.safeParse(request.query);
    const lines = log.after(0, wholeLog, query.success ? query.data.path : undefined).map(serialLineView);
    response
      .attachment(`pinwalk-serial-${new Date().toISOString().slice(0, 19).replaceAll(":", "-")}.txt`)
      .type("text");
    response.send(
      lines
        .map(({ at, path, direction, raw, words }) => {
          const arrow = direction === "to-bench" ? "→" : "←";
          return `${new Date(at).toISOString()} ${path} ${arrow} ${raw}\t${words}\n`;
        })
        .join(""),
    );
  });
  router.get("/documents/:id", (request, response) => {
    const held = documents.get(request.params.id);
    if (!held) {
      response.status(404).type("text").send("There is no such document.");
      return;
    }
    response.attachment(`pinwalk-${held.entry.id}.json`).type("json");
    response.send(`${JSON.stringify(held.document, null, 2)}\n`);
  });
  router.get("/documents/:id/page", (request, response) => {
    const held = documents.get(request.params.id);
    if (!held) {
      response.status(404).type("text").send("There is no such document.");
      return;
    }
    response.set("Content-Security-Policy", carePagePolicy).type("html").send(carePage(held.document));
  });
  return router;
}
