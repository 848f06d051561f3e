import type { Problem } from "@pinwalk/host/server/contract.js";
import type {
  DraftChoices,
  DraftRefusal,
  PlanDocument,
  RefitRequest,
  SavedDraft,
  SaveRequest,
  WeighedDraft,
} from "@pinwalk/host/server/plan-drafting/drafting-contract.js";

/** What the server said; a refusal is a value with words for people, never an exception. */
export type Drafted<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly code: string; readonly message: string; readonly problems?: readonly Problem[] };

const noAnswer = {
  ok: false,
  code: "no-answer",
  message: "The computer at the bench does not answer. What you have typed is kept in this browser.",
} as const;

async function drafted<T>(path: string, request?: RequestInit): Promise<Drafted<T>> {
  try {
    const response = await fetch(`/plans/${path}`, request);
    const body = (await response.json()) as unknown;
    return response.ok ? { ok: true, value: body as T } : { ok: false, ...(body as DraftRefusal) };
  } catch {
    return noAnswer;
  }
}

const post = <T>(path: string, body: unknown, signal?: AbortSignal) =>
  drafted<T>(path, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify(body),
    ...(signal ? { signal } : {}),
  });

export const askChoices = () => drafted<DraftChoices>("choices");
export const askTemplate = (id: string, connector: string, far: string | null) =>
  drafted<object>(`template?${new URLSearchParams({ id, connector, ...(far === null ? {} : { far }) })}`);
export const askDocument = (id: string) => drafted<PlanDocument>(`document?${new URLSearchParams({ id })}`);
export const weigh = (draft: object, signal: AbortSignal) => post<WeighedDraft>("weigh", { draft }, signal);
export const refit = (request: RefitRequest) => post<object>("refit", request);
export const savePlan = (request: SaveRequest) => post<SavedDraft>("save", request);
export const deletePlan = (id: string, version: string) => post<{ readonly plan: object }>("delete", { id, version });
