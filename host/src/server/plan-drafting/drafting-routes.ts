import express, { type ErrorRequestHandler, type Response, Router } from "express";
import type { z } from "zod";
import { parsePlan } from "../../plan/parse-plan.js";
import { planTemplates } from "../../plan/templates/templates.js";
import type { PlanShelf } from "../plan-shelf.js";
import { blankDraft } from "./blank-draft.js";
import { draftChoices } from "./draft-choices.js";
import {
  type DraftRefusal,
  deleteRequestSchema,
  documentQuerySchema,
  mostDraftBytes,
  type PlanDocument,
  refitRequestSchema,
  type SavedDraft,
  saveRequestSchema,
  templateQuerySchema,
  weighRequestSchema,
} from "./drafting-contract.js";
import { refitDraft } from "./refit-draft.js";
import type { NotWeighed, WeighingDesk } from "./weighing-desk.js";

class Refused extends Error {
  constructor(
    readonly status: number,
    readonly refusal: DraftRefusal,
  ) {
    super(refusal.message);
  }
}

/** Reads what came from outside against its schema. Throws what the error handler turns into words. */
function read<T>(schema: z.ZodType<T>, value: unknown): T {
  const parsed = schema.safeParse(value);
  if (parsed.success) return parsed.data;
  const [issue] = parsed.error.issues;
  const message = `${issue?.path.join(".") || "The request"}: ${issue?.message ?? "has not the right form"}.`;
  throw new Refused(400, { code: "bad-request", message });
}

const notWeighedWords: Readonly<Record<NotWeighed, readonly [status: number, message: string]>> = {
  crowded: [503, "Too many drafts are being worked out at once. Try again in a moment."],
  "too-long": [
    422,
    "This draft is so large that its currents cannot be worked out while you type. It can still be saved.",
  ],
  gone: [503, "The computer at the bench is stopping."],
};

/**
 * Drafting of plans for browsers, under `/plans`. Looking up changes nothing; what changes something, or makes work, is a
 * POST of JSON, which a foreign page cannot send unasked. `onChanged` hears when the plans at hand have changed.
 */
export function draftingRoutes(shelf: PlanShelf, desk: WeighingDesk, onChanged: () => void): Router {
  const router = Router();
  router.use((_request, response, next) => {
    response.set("Cache-Control", "no-store");
    next();
  });
  router.get("/choices", (_request, response) => {
    response.json(draftChoices());
  });
  router.get("/template", (request, response) => {
    const { id, connector, far } = read(templateQuerySchema, request.query);
    response.json(templateDraft(id, connector, far));
  });
  router.get("/document", (request, response) => {
    const { id } = read(documentQuerySchema, request.query);
    const shelved = shelf.get(id);
    if (!shelved) throw new Refused(404, noSuchPlan);
    const { plan, summary, version } = shelved;
    response.json({ id, origin: summary.origin, version, plan } satisfies PlanDocument);
  });

  router.use(express.json({ limit: mostDraftBytes }));
  router.post("/weigh", async (request, response) => {
    const { draft } = read(weighRequestSchema, request.body);
    const weighed = await desk.weigh(draft, () => !left(response));
    if (typeof weighed !== "string") return void response.json(weighed);
    const [status, message] = notWeighedWords[weighed];
    throw new Refused(status, { code: weighed, message });
  });
  router.post("/refit", (request, response) => {
    response.json(refitDraft(read(refitRequestSchema, request.body)));
  });
  router.post("/save", async (request, response) => {
    const { draft, replaces } = read(saveRequestSchema, request.body);
    const parsed = parsePlan(draft);
    if (!parsed.ok) {
      const message = "The plan cannot be saved before everything in it is in order.";
      throw new Refused(422, { code: "bad-plan", message, problems: parsed.problems });
    }
    const saved = replaces ? await shelf.replace(replaces, parsed.plan) : await shelf.addNew(parsed.plan);
    if (!saved.ok) throw new Refused(409, saved);
    onChanged();
    const { id, version } = saved;
    response.status(201).json({ id, version, remark: shelf.problem } satisfies SavedDraft);
  });
  router.post("/delete", async (request, response) => {
    const removed = await shelf.remove(read(deleteRequestSchema, request.body));
    if (!removed.ok) throw new Refused(409, removed);
    onChanged();
    response.json({ plan: removed.plan });
  });
  router.use((_request, response) => {
    response.status(404).json({ code: "no-such-page", message: "There is nothing of that name here." });
  });
  router.use(refuse);
  return router;
}

const noSuchPlan = { code: "no-such-plan", message: "That plan is not there any more." };

const left = (response: Response) => response.closed;

function templateDraft(id: string, connector: string, far: string | undefined): object {
  const template = planTemplates.find((one) => one.id === id);
  const offered =
    template?.connectors.includes(connector) && (far === undefined || template.farConnectors.includes(far));
  if (template && !offered)
    throw new Refused(404, { code: "no-such-template", message: "This template has no such connector." });
  try {
    const draft = template ? template.make(connector, far) : blankDraft(id, connector, far);
    if (draft) return draft;
  } catch {
    // A connector that is not in the library.
  }
  throw new Refused(404, { code: "no-such-template", message: "There is no such template, or no such connector." });
}

const refuse: ErrorRequestHandler = (error: unknown, _request, response, next) => {
  if (response.headersSent) return next(error);
  const [status, refusal] = refusalOf(error);
  response.status(status).json(refusal);
};

function refusalOf(error: unknown): readonly [number, DraftRefusal] {
  if (error instanceof Refused) {
    const { code, message, problems } = error.refusal;
    return [error.status, { code, message, ...(problems ? { problems } : {}) }];
  }
  // What express says of a body that is too large or no JSON.
  const { status, message } = error as { readonly status?: unknown; readonly message?: unknown };
  if (status === 413) return [413, { code: "too-large", message: "This is larger than any plan." }];
  if (typeof status === "number" && status >= 400 && status < 500)
    return [status, { code: "bad-request", message: "The request has not the right form." }];
  return [500, { code: "internal", message: `Pinwalk stumbled over itself: ${String(message ?? error)}` }];
}
