import type { CommandName } from "@pinwalk/host/server/contract.js";
import { computed, type ReadonlySignal } from "@preact/signals";
import { type View, view, viewPath } from "../view.js";
import { calibrationJob, selfTest, startCalibration } from "./bench-care.js";
import { backFeed, cable, flexWatch, keepDriven, listening, round, walk, walking } from "./workbench-store.js";

/** What every job with the bench shows of itself. */
interface JobState {
  readonly state: "idle" | "running" | "stopping" | "ended";
  /** Why it cannot begin now. */
  readonly hindrance: string | null;
  readonly end: object | null;
}

/** Something that goes on with the bench, on its page. */
interface GoingJob {
  readonly view: View;
  /** Behind the page's name in the address, for a job on a page of its page. */
  readonly page?: string;
  readonly title: string;
  /** What one should know on its page while it goes on. */
  readonly doing: string;
  readonly now: ReadonlySignal<JobState | undefined>;
}

/** A job with the bench that has a page of its own, and is begun from the bar there. */
interface BenchJob extends GoingJob {
  readonly start: string;
  readonly again: string;
  /** Begins it; takes an empty payload, unless `begin` does it. */
  readonly command: CommandName;
  readonly begin?: () => void;
}

/** In a batch the cable's number comes first, from the page. */
const cableAlone = computed(() => {
  const state = cable.value;
  return state?.batch
    ? { ...state, hindrance: state.hindrance ?? "Give the cable's number above, then Enter." }
    : state;
});

/** All that are begun from the bar, but the walk itself. A further job is one row here. */
const benchJobs: readonly BenchJob[] = [
  {
    view: "back-feed",
    title: "Back-feed watch",
    doing: "Nothing is driven",
    start: "Start watch",
    again: "Watch again",
    command: "back-feed:start",
    now: backFeed,
  },
  {
    view: "walk-round",
    title: "Walk-round",
    doing: "One circuit at a time",
    start: "Start walk-round",
    again: "Walk round again",
    command: "round:start",
    now: round,
  },
  {
    view: "cable",
    title: "Cable check",
    doing: "One conductor at a time",
    start: "Check cable",
    again: "Check next cable",
    command: "cable:check",
    now: cableAlone,
  },
  {
    view: "flex-watch",
    title: "Flex watch",
    doing: "Bend and pull the cable",
    start: "Start flex watch",
    again: "Watch again",
    command: "flex-watch:start",
    now: flexWatch,
  },
  {
    view: "find-wires",
    title: "Listening",
    doing: "Nothing is driven",
    start: "Start listening",
    again: "Listen again",
    command: "listening:start",
    now: listening,
  },
  {
    view: "bench",
    page: "self-test",
    title: "Self-test",
    doing: "The bench tests itself",
    start: "Start self-test",
    again: "Test again",
    command: "self-test:start",
    now: selfTest,
  },
  {
    view: "bench",
    page: "calibration",
    title: "Calibration",
    doing: "Nothing is written before the last step",
    start: "Start calibration",
    again: "Calibrate again",
    command: "calibration:start",
    begin: startCalibration,
    now: calibrationJob,
  },
];

/** Begun at a next check, on the page of the walk. */
const keepDrivenJob: GoingJob = {
  view: "walk",
  title: "Pin kept driven",
  doing: "On while somebody looks",
  now: keepDriven,
};

/** Everything that can go on with the bench, but the walk itself. */
const allJobs: readonly GoingJob[] = [...benchJobs, keepDrivenJob];

const isHere = ({ view: of, page }: GoingJob) =>
  of === view.value && (page === undefined || page === viewPath.value[0]);

/** The job that is begun from the page that is shown. */
export const jobOfPage = computed(() => benchJobs.find(isHere) ?? null);

/** Where the page of a job is. */
export const jobHref = (job: GoingJob): string => `#${job.view}${job.page === undefined ? "" : `/${job.page}`}`;

const goes = (state: string | undefined) => state === "running" || state === "stopping";

/** The job that goes on with the bench, if one does; the walk itself by its word. */
export const goingOn = computed((): GoingJob | "walk" | null => {
  if (walking.value) return "walk";
  return allJobs.find(({ now }) => goes(now.value?.state)) ?? null;
});
export const busy = computed(() => goingOn.value !== null);

/** Whether what goes on has its place on the page that is shown. */
export const goesOnHere = computed(() => goingOn.value !== null && goingOn.value !== "walk" && isHere(goingOn.value));

/** Whether what goes on, the walk too, is being stopped. */
export const stopping = computed(() =>
  [walk, ...allJobs.map(({ now }) => now)].some(({ value }) => value?.state === "stopping"),
);

/** Whether the job of this page goes on. */
export function jobGoesOn(view: View): boolean {
  return goingOn.value !== null && goingOn.value !== "walk" && goingOn.value.view === view;
}
