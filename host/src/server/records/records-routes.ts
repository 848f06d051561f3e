import express, { type ErrorRequestHandler, type Request, Router } from "express";
import { z } from "zod";
import { batchCablesCsv } from "../../records/batch/batch-cables-csv.js";
import { batchCsv } from "../../records/batch/batch-csv.js";
import type { BatchReport } from "../../records/batch/batch-report.js";
import { hashSchema } from "../../records/record-schema.js";
import { isRecordsError, type RecordsErrorCode } from "../../records/records-error.js";
import type { SavedRecord } from "../../records/store/saved-record.js";
import { DeskRefusal } from "./desk-refusal.js";
import { documentSenders } from "./record-documents.js";
import {
  batchQuerySchema,
  compareQuerySchema,
  exportRequestSchema,
  keepRequestSchema,
  listQuerySchema,
  mostImportBytes,
  mostKeepBytes,
  type RecordsRefusal,
  retestRequestSchema,
  type VerifyLine,
} from "./records-contract.js";
import type { RecordsDesk } from "./records-desk.js";
import { verifyInChild } from "./verify-in-child.js";

/** What is the asker's doing; everything else is the store's. */
const statusOf: Partial<Record<RecordsErrorCode, number>> = {
  "no-such-record": 404,
  ambiguous: 409,
  "not-a-record": 400,
  "not-a-photo": 400,
  "not-readable": 400,
  "does-not-hold": 422,
  conflict: 409,
};

/** The last part of a batch's address → the table that is sent. */
const batchTables: Readonly<Record<string, (report: BatchReport, records: readonly SavedRecord[]) => string>> = {
  "cables.csv": (_report, records) => batchCablesCsv(records),
  "spread.csv": (report) => batchCsv(report),
};

class BadRequest extends Error {}

/** Reads what came from outside against its schema. Throws what the error handler turns into words. */
function read<T>(schema: z.ZodType<T>, value: unknown): T {
  const parsed = schema.safeParse(value);
  if (parsed.success) return parsed.data;
  const [issue] = parsed.error.issues;
  throw new BadRequest(`${issue?.path.join(".") || "The request"}: ${issue?.message ?? "has not the right form"}.`);
}

const hashOf = (request: Request<{ hash: string }>): string => read(hashSchema, request.params.hash);

/**
 * The record store for browsers, under `/records`. Looking up changes nothing; what changes something, or makes work, is
 * a POST of JSON, which a foreign page cannot send unasked.
 */
export function recordsRoutes(desk: RecordsDesk): Router {
  const router = Router();
  router.use((_request, response, next) => {
    response.set("Cache-Control", "no-store");
    next();
  });
  router.get("/list", async (request, response) => {
    response.json(await desk.list(read(listQuerySchema, request.query)));
  });
  router.get("/keepable", (_request, response) => {
    response.json(desk.keepable());
  });
  router.get("/compare", async (request, response) => {
    response.json(await desk.compare(read(compareQuerySchema, request.query).serial));
  });
  router.get("/batch/:table", async (request, response, next) => {
    const { table } = request.params;
    const send = Object.hasOwn(batchTables, table) ? batchTables[table] : undefined;
    if (!send) return next();
    const { report, records } = await desk.batch(read(batchQuerySchema, request.query).batch);
    if (records.length === 0) throw new DeskRefusal("no-such-batch", "There is no record of that batch.");
    response.attachment(`pinwalk-batch-${table}`).type("text/csv; charset=utf-8");
    response.send(send(report, records));
  });
  router.get("/photos/:hash", async (request, response) => {
    const photo = await desk.photo(hashOf(request));
    if (!photo) throw new DeskRefusal("no-such-photo", "There is no such photo.");
    response
      .set("Content-Security-Policy", "default-src 'none'; sandbox")
      .type(photo.type)
      .send(Buffer.from(photo.data));
  });
  router.get("/record/:hash", async (request, response) => {
    response.json(await desk.page(hashOf(request)));
  });
  router.get("/record/:hash/:document", async (request, response, next) => {
    const { document } = request.params;
    const send = Object.hasOwn(documentSenders, document) ? documentSenders[document] : undefined;
    if (!send) return next();
    const { saved, store } = await desk.record(hashOf(request));
    await send(response, saved, store);
  });

  router.post("/keep", express.json({ limit: mostKeepBytes }), async (request, response) => {
    response.status(201).json(await desk.keep(read(keepRequestSchema, request.body)));
  });
  router.post("/retest", express.json({ limit: 4096 }), async (request, response) => {
    await desk.retest(read(retestRequestSchema, request.body).hash);
    response.json({});
  });
  router.post("/export", express.json({ limit: 4096 }), async (request, response) => {
    response.json(await desk.moves.exportFound(read(exportRequestSchema, request.body)));
  });
  router.post("/backup", express.json({ limit: 4096 }), async (request, response) => {
    read(z.strictObject({}), request.body);
    response.json(await desk.moves.backUp());
  });
  router.post("/import", async (request, response) => {
    // A foreign page cannot send this kind unasked.
    if (!request.is("application/octet-stream")) throw new BadRequest("An import is sent as the file itself.");
    if (Number(request.headers["content-length"] ?? 0) > mostImportBytes)
      throw new DeskRefusal("too-large", "That file is too large for the browser. Import it on the command line.");
    response.json(await desk.moves.importFrom(request));
  });
  router.get("/files/:token", (request, response) => {
    const file = desk.moves.file(request.params.token);
    if (!file) throw new DeskRefusal("no-such-file", "That file is not kept any more. Make it anew.");
    response.download(file.path, file.name);
  });
  let verifying = false;
  router.post("/verify", express.json({ limit: 4096 }), async (request, response) => {
    read(z.strictObject({}), request.body);
    if (verifying) throw new DeskRefusal("verifying", "The records are being checked already. Wait for that to end.");
    verifying = true;
    try {
      response.type("application/x-ndjson");
      const check = verifyInChild(desk.storePath, (line: VerifyLine) => response.write(`${JSON.stringify(line)}\n`));
      response.once("close", () => check.stop());
      await check.done;
      response.end();
    } finally {
      verifying = false;
    }
  });
  router.use((_request, response) => {
    response.status(404).json({ code: "no-such-page", message: "There is nothing of that name here." });
  });
  router.use(refusal);
  return router;
}

const refusal: ErrorRequestHandler = (error: unknown, _request, response, next) => {
  if (response.headersSent) return next(error);
  response.removeHeader("Content-Disposition");
  const [status, answer] = refusalOf(error);
  response.status(status).json(answer);
};

function refusalOf(error: unknown): readonly [number, RecordsRefusal] {
  if (isRecordsError(error)) return [statusOf[error.code] ?? 503, { code: error.code, message: error.message }];
  if (error instanceof DeskRefusal)
    return [error.code.startsWith("no-such") ? 404 : 409, { code: error.code, message: error.message }];
  if (error instanceof BadRequest) return [400, { code: "bad-request", message: error.message }];
  // What express says of a body that is too large or no JSON.
  const { status, message } = error as { readonly status?: unknown; readonly message?: unknown };
  if (status === 413)
    return [
      413,
      { code: "too-large", message: "That is too much at once. Leave some photos out, or make them smaller." },
    ];
  if (typeof status === "number" && status >= 400 && status < 500)
    return [status, { code: "bad-request", message: "The request has not the right form." }];
  return [500, { code: "internal", message: `Pinwalk stumbled over itself: ${String(message ?? error)}` }];
}
