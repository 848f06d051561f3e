import type { PeopleView, PersonView, YouView } from "@pinwalk/host/server/access/access-contract.js";
import { computed, signal } from "@preact/signals";

/** Who is here and who controls, as the server told it last. */
export const people = signal<PeopleView | null>(null);

/** Which of them this browser is; null until the server has told it. */
export const you = signal<YouView | null>(null);

/** Whether this browser was paired, and is so no more. */
export const sentAway = signal(false);

export const controller = computed(
  (): PersonView | null => people.value?.list.find(({ id }) => id === people.value?.controllerId) ?? null,
);

/** Whether the person at this browser controls now, or may simply begin. */
export const inControl = computed(
  () => you.value?.role === "control" && (people.value?.free === true || people.value?.controllerId === you.value.id),
);

/** Why this browser may change nothing now, in a sentence; null where it may. */
export const mayNotBecause = computed((): string | null => {
  if (!you.value || inControl.value) return null;
  if (you.value.role === "watch") return "You watch here: you can press stop, and nothing else.";
  return `${controller.value?.name ?? "Another person"} controls now.`;
});

/** Whether this browser may draft plans: whoever watches looks at them alone. */
export const mayDraft = computed(() => you.value?.role !== "watch");

/** Whoever asks for control, where this browser can give it. */
export const asker = computed((): PersonView | null => {
  const view = people.value;
  if (!view || !you.value || (view.controllerId !== you.value.id && !you.value.atComputer)) return null;
  return view.list.find(({ id }) => id === view.askedById) ?? null;
});
