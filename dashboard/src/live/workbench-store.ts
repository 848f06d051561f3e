import type { CommandAck, CommandName, WorkbenchState } from "@pinwalk/host/server/contract.js";
import { computed, signal } from "@preact/signals";

/** The state as the server told it last; null until it has told it once. */
export const workbench = signal<WorkbenchState | null>(null);

/** `connecting` before the first answer, `lost` whenever an established link is gone. */
export const link = signal<"connecting" | "connected" | "lost">("connecting");

/** Since when the link is lost: so old is what the page shows. */
export const lostAt = signal<Date | null>(null);

export const benches = computed(() => workbench.value?.benches);
export const plans = computed(() => workbench.value?.plans);
export const chosenPlan = computed(() => plans.value?.chosen ?? null);
/** What hangs on the connector, in a word. */
export const testedThing = computed(() => (chosenPlan.value?.kind === "cable" ? "cable" : "vehicle"));
export const faults = computed(() => workbench.value?.faults);
export const checks = computed(() => workbench.value?.checks);
export const walk = computed(() => workbench.value?.walk);
export const hindrances = computed(() => workbench.value?.hindrances ?? []);
export const chosenBench = computed(
  () => benches.value?.found.find((bench) => bench.id === benches.value?.chosenId) ?? null,
);
export const walking = computed(() => walk.value?.state === "running" || walk.value?.state === "stopping");

export const backFeed = computed(() => workbench.value?.backFeed);
export const round = computed(() => workbench.value?.round);
export const flexWatch = computed(() => workbench.value?.flexWatch);
export const listening = computed(() => workbench.value?.listening);
export const guide = computed(() => workbench.value?.guide);
export const cable = computed(() => workbench.value?.cable);
export const keepDriven = computed(() => workbench.value?.keepDriven);
export const nextCheck = computed(() => workbench.value?.nextCheck);

/** The id of this page's socket; another after each reconnection. */
export const socketId = signal<string | null>(null);

export type Refused = Extract<CommandAck, { ok: false }>;

/** The last refusal of each command, until the command is sent again. */
export const refusals = signal<Partial<Record<CommandName, Refused>>>({});

export function noteAnswer(command: CommandName, answer: CommandAck | null): void {
  const others = { ...refusals.value };
  delete others[command];
  refusals.value = answer && !answer.ok ? { ...others, [command]: answer } : others;
}
