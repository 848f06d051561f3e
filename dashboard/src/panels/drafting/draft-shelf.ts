import { signal } from "@preact/signals";
import type { Draft } from "./draft-paths.js";

/** A draft that somebody works on in this browser. */
export interface OpenDraft {
  /** Of an own plan its id, else one of its own. */
  readonly key: string;
  readonly draft: Draft;
  /** The draft as it was saved last or as it began, as JSON; what differs from it is not saved yet. */
  readonly base: string;
  /** The plan that saving replaces; null makes a new one. */
  readonly saved: { readonly id: string; readonly version: string } | null;
}

const prefix = "pinwalk.draft.";

/** Whether this browser keeps drafts over a reload. */
export const draftsKept = signal(true);

export const openDrafts = signal<readonly OpenDraft[]>(remembered());

export function isEdited({ draft, base, saved }: OpenDraft): boolean {
  return saved === null || JSON.stringify(draft) !== base;
}

export function draftOf(key: string): OpenDraft | undefined {
  return openDrafts.value.find((one) => one.key === key);
}

/** Puts a draft on the shelf, in place of an earlier one of the same key, and keeps it over a reload while it is not saved. */
export function putDraft(next: OpenDraft): void {
  openDrafts.value = [...openDrafts.value.filter((one) => one.key !== next.key), next];
  try {
    if (isEdited(next)) localStorage.setItem(prefix + next.key, JSON.stringify(next));
    else localStorage.removeItem(prefix + next.key);
    draftsKept.value = true;
  } catch {
    draftsKept.value = false;
  }
}

/** Plans that were looked at and not edited are taken up afresh the next time: somebody else may have changed them. */
export function dropUnedited(): void {
  openDrafts.value = openDrafts.value.filter(isEdited);
}

export function dropDraft(key: string): void {
  openDrafts.value = openDrafts.value.filter((one) => one.key !== key);
  try {
    localStorage.removeItem(prefix + key);
  } catch {
    // Where nothing can be kept, nothing has to be forgotten.
  }
}

/** A key for a draft that is no plan yet. */
export function newKey(): string {
  const bytes = crypto.getRandomValues(new Uint32Array(2));
  return `new-${[...bytes].map((one) => one.toString(36)).join("")}`;
}

function remembered(): OpenDraft[] {
  // Reading storage throws where a browser forbids it.
  try {
    const keys = Array.from({ length: localStorage.length }, (_, at) => localStorage.key(at) ?? "");
    return keys.filter((key) => key.startsWith(prefix)).flatMap((key) => read(localStorage.getItem(key)));
  } catch {
    draftsKept.value = false;
    return [];
  }
}

function read(text: string | null): OpenDraft[] {
  try {
    const one = JSON.parse(text ?? "null") as Partial<OpenDraft> | null;
    const whole =
      typeof one?.key === "string" && typeof one.base === "string" && typeof one.draft === "object" && one.draft;
    return whole ? [{ saved: null, ...one } as OpenDraft] : [];
  } catch {
    return [];
  }
}
