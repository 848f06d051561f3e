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

/** The walk to which the draft belongs. */
let walkNumber = 0;

/** A first walk finds what a re-test has filled in; a further one of the same vehicle keeps who and what, not the notes. */
export function draftFor(number: number): void {
  if (number === walkNumber) return;
  walkNumber = number;
  keepDraft.value = { ...keepDraft.value, notes: "" };
}

/** Another vehicle or cable: nothing of the last one may slip into its record. */
export function startDraft(known: Partial<KeepDraft>): void {
  keepDraft.value = { ...blank(), ...known };
}

export function rememberKeeper({ person, shop }: KeepDraft): void {
  try {
    localStorage.setItem(storageKey, JSON.stringify({ person, shop }));
  } catch {
    // Not remembered; it is typed again the next time.
  }
}
