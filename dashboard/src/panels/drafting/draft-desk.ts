import type { DraftChoices, DraftProblem, WeighedDraft } from "@pinwalk/host/server/plan-drafting/drafting-contract.js";
import { batch, computed, signal } from "@preact/signals";
import { askChoices } from "../../live/drafting-requests.js";
import { type Draft, type Json, type Path, pathText, withValue } from "./draft-paths.js";
import { openDrafts, putDraft } from "./draft-shelf.js";

/** The key of the draft that is on the desk. */
export const deskKey = signal<string | null>(null);
export const desk = computed(() => openDrafts.value.find(({ key }) => key === deskKey.value) ?? null);
export const draft = computed<Draft>(() => desk.value?.draft ?? {});

/** What the host says of the draft; `of` is the draft that it was asked about. */
export const weighing = signal<{ readonly of: Draft; readonly weighed: WeighedDraft } | null>(null);
export const weighed = computed(() => weighing.value?.weighed ?? null);
/** True while the host has not answered for the draft as it stands. */
export const weighingBehind = computed(() => weighing.value?.of !== draft.value);
export const weighFailure = signal<string | null>(null);

export const problemsByPath = computed(() => {
  const byPath = new Map<string, DraftProblem[]>();
  for (const problem of weighed.value?.problems ?? [])
    byPath.set(problem.path, [...(byPath.get(problem.path) ?? []), problem]);
  return byPath;
});

/** The host's libraries; asked once. */
export const choices = signal<DraftChoices | null>(null);
export const choicesFailure = signal<string | null>(null);

export async function loadChoices(): Promise<void> {
  if (choices.value) return;
  const answer = await askChoices();
  choicesFailure.value = answer.ok ? null : answer.message;
  if (answer.ok) choices.value = answer.value;
}

interface History {
  readonly past: readonly Draft[];
  readonly future: readonly Draft[];
  /** The place of the last edit: typing on at the same place is one step. */
  readonly place: string | null;
}

const noHistory: History = { past: [], future: [], place: null };
const mostSteps = 200;
const histories = signal<Readonly<Record<string, History>>>({});
const history = computed(() => histories.value[deskKey.value ?? ""] ?? noHistory);
export const canUndo = computed(() => history.value.past.length > 0);
export const canRedo = computed(() => history.value.future.length > 0);

/** A draft that has become a plan keeps the steps that led to it. */
export function moveHistory(from: string, to: string): void {
  const { [from]: moved, ...others } = histories.value;
  if (moved) histories.value = { ...others, [to]: moved };
}

function put(next: Draft, told: History): void {
  const open = desk.value;
  if (!open) return;
  batch(() => {
    histories.value = { ...histories.value, [open.key]: told };
    putDraft({ ...open, draft: next });
  });
}

/** Takes a whole draft as the next step. `place` joins it with the step before when that was made at the same place. */
export function take(next: Draft, place: string | null = null): void {
  const { past, place: before } = history.value;
  if (JSON.stringify(next) === JSON.stringify(draft.value)) return;
  const joined = place !== null && place === before;
  put(next, { past: joined ? past : [...past, draft.value].slice(-mostSteps), future: [], place });
}

/** Puts a value at one place of the draft; undefined takes it out. */
export function edit(path: Path, value: Json | undefined): void {
  const next = withValue(draft.value, path, value);
  if (typeof next === "object") take(next as Draft, pathText(path));
}

export function undo(): void {
  const { past, future } = history.value;
  const before = past.at(-1);
  if (before) put(before, { past: past.slice(0, -1), future: [draft.value, ...future], place: null });
}

export function redo(): void {
  const { past, future } = history.value;
  const [next, ...rest] = future;
  if (next) put(next, { past: [...past, draft.value], future: rest, place: null });
}
