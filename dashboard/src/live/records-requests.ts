import type {
  ComparisonView,
  ImportedView,
  KeepableWalk,
  KeepRequest,
  KeptView,
  OfferedFiles,
  RecordListing,
  RecordPageView,
  RecordsRefusal,
  VerifyLine,
} from "@pinwalk/host/server/records/records-contract.js";

import { bayBase } from "./bay.js";

/** What the server said; a refusal is a value with words for people, never an exception. */
export type Answered<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly message: string };

const noAnswer = {
  ok: false,
  message: "The computer at the bench does not answer. Check that Pinwalk is still running there, then try again.",
} as const;

async function answered<T>(request: Promise<Response>): Promise<Answered<T>> {
  try {
    const response = await request;
    const body = (await response.json()) as T | RecordsRefusal;
    return response.ok ? { ok: true, value: body as T } : { ok: false, message: (body as RecordsRefusal).message };
  } catch {
    return noAnswer;
  }
}

const look = <T>(path: string) => answered<T>(fetch(`${bayBase}/records/${path}`));
const json = (body: unknown): RequestInit => ({
  method: "POST",
  headers: { "content-type": "application/json" },
  body: JSON.stringify(body),
});
const post = <T>(path: string, body: unknown) => answered<T>(fetch(`${bayBase}/records/${path}`, json(body)));

export interface Search {
  readonly text: string;
  /** Empty for any. */
  readonly verdict: string;
  /** Days, YYYY-MM-DD, of this browser's clock; both included, empty for any. */
  readonly from: string;
  readonly to: string;
}

/** What the search fields say, as the server has it; a day begins where this browser stands. */
function found({ text, verdict, from, to }: Search) {
  return {
    ...(text.trim() === "" ? {} : { text: text.trim().slice(0, 200) }),
    ...(verdict === "" ? {} : { verdict }),
    ...(from === "" ? {} : { since: momentOf(from, 0) }),
    ...(to === "" ? {} : { until: momentOf(to, 1) }),
  };
}

/** The beginning of that day, or of one so many days later. */
function momentOf(day: string, later: number): string {
  const moment = new Date(`${day}T00:00:00`);
  moment.setDate(moment.getDate() + later);
  return moment.toISOString();
}

export function listRecords(search: Search, before: number | null): Promise<Answered<RecordListing>> {
  const query = new URLSearchParams({ limit: "50", ...found(search) });
  if (before !== null) query.set("before", String(before));
  return look(`list?${query}`);
}

/** Makes a file of all records that the search finds. */
export const exportRecords = (search: Search) => post<OfferedFiles>("export", found(search));
/** Makes a copy of the whole store. */
export const backUpRecords = () => post<OfferedFiles>("backup", {});
/** Takes an export in, whole or not at all. */
export const importRecords = (file: File) =>
  answered<ImportedView>(
    fetch("/records/import", { method: "POST", headers: { "content-type": "application/octet-stream" }, body: file }),
  );

export const recordPage = (hash: string) => look<RecordPageView>(`record/${encodeURIComponent(hash)}`);
export const compareSerial = (serial: string) => look<ComparisonView>(`compare?${new URLSearchParams({ serial })}`);
export const keepable = () => look<KeepableWalk>("keepable");
export const keepWalk = (request: KeepRequest) => post<KeptView>("keep", request);
export const retest = (hash: string) => post<object>("retest", { hash });

/** Has the whole store checked; `onLine` hears how far it is, then the report or why there is none. */
export async function verifyRecords(onLine: (line: VerifyLine) => void): Promise<void> {
  const failed = (message: string) => onLine({ kind: "failed", code: "no-answer", message });
  try {
    const response = await fetch("/records/verify", json({}));
    if (!response.ok || !response.body) return failed(((await response.json()) as RecordsRefusal).message);
    const reader = response.body.pipeThrough(new TextDecoderStream()).getReader();
    let rest = "";
    for (let piece = await reader.read(); !piece.done; piece = await reader.read()) {
      const lines = (rest + piece.value).split("\n");
      rest = lines.pop() ?? "";
      for (const line of lines) onLine(JSON.parse(line) as VerifyLine);
    }
  } catch {
    failed(noAnswer.message);
  }
}
