import { signal } from "@preact/signals";

/** What a person has typed about the walk on the workbench; it stays while they look at other pages. */
export interface KeepDraft {
  readonly serial: string;
  readonly customer: string;
  readonly description: string;
  readonly person: string;
  readonly shop: string;
  readonly batch: string;
  readonly notes: string;
}

const storageKey = "pinwalk.keeper";

/** Who keeps records at this browser, from the last time. */
function keeper(): Pick<KeepDraft, "person" | "shop"> {
  // Reading storage throws where a browser forbids it; the fields are then empty.
  try {
    const { person, shop } = JSON.parse(localStorage.getItem(storageKey) ?? "{}") as Record<string, unknown>;
    return { person: typeof person === "string" ? person : "", shop: typeof shop === "string" ? shop : "" };
  } catch {
    return { person: "", shop: "" };
  }
}

const blank = (): KeepDraft => ({ serial: "", customer: "", description: "", batch: "", notes: "", ...keeper() });

export const keepDraft = signal<KeepDraft>(blank());

/** The last vehicle or cable that was kept at this page, for its next walk. */
export const lastKept = signal<KeepDraft | null>(null);

/** The plan that the draft is about; null before the first walk. */
let draftPlan: string | null = null;
let walkNumber = 0;
let kept = false;

/**
 * The draft for a walk. After a walk that was kept, or with another plan, the next vehicle may be another: who and what are
 * asked anew, for a wrong number would stand in the record for good. A walk repeated before it was kept asks nothing twice.
 */
export function draftFor(number: number, planName: string): void {
  const other = draftPlan !== null && draftPlan !== planName;
  if (other || (kept && number !== walkNumber)) keepDraft.value = blank();
  if (number !== walkNumber) kept = false;
  walkNumber = number;
  draftPlan = planName;
}

/** The next walk is of this vehicle or cable again. */
export function startDraft(known: Partial<KeepDraft>, planName: string): void {
  keepDraft.value = { ...blank(), ...known };
  draftPlan = planName;
  kept = false;
}

/** The draft has become a record: remembers the person for the next time, and the vehicle for the next walk. */
export function draftKept(): void {
  kept = true;
  lastKept.value = keepDraft.value;
  rememberKeeper(keepDraft.value);
}

/** Takes over who and what of the last record. */
export function sameAsLast(): void {
  if (lastKept.value) keepDraft.value = { ...lastKept.value, notes: keepDraft.value.notes };
}

function rememberKeeper({ person, shop }: KeepDraft): void {
  try {
    localStorage.setItem(storageKey, JSON.stringify({ person, shop }));
  } catch {
    // Not remembered; it is typed again the next time.
  }
}
