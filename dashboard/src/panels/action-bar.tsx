import { StartIcon, StopIcon } from "../drawing/icons.js";
import { busy, goesOnHere, goingOn, jobHref, jobOfPage, stopping } from "../live/bench-jobs.js";
import { send } from "../live/connection.js";
import { mayNotBecause } from "../live/people.js";
import { startWalk, stopWalk } from "../live/start-walk.js";
import {
  chosenBench,
  chosenPlan,
  faults,
  hindrances,
  link,
  refusals,
  testedThing,
  walk,
} from "../live/workbench-store.js";
import { view, viewPath } from "../view.js";
import { phaseWords } from "../words/phase-words.js";
import { overallWords } from "../words/verdict-words.js";
import { desk } from "./drafting/draft-desk.js";
import { isEdited } from "./drafting/draft-shelf.js";
import { PagesButton } from "./pages-nav.js";
import "./action-bar.css";

/** Start and stop, always on screen, with one sentence that says what goes on or what is missing. */
export function ActionBar() {
  const state = walk.value;
  if (!state) return null;
  const job = jobOfPage.value;
  const lost = link.value !== "connected";
  const first = mayNotBecause.value ?? (job ? job.now.value?.hindrance : (draftFirst() ?? hindrances.value[0]));
  const refused = refusals.value["walk:start"] ?? refusals.value["walk:stop"];
  return (
    <div ref={keepBarHeight} class={`action-bar${busy.value && !lost ? " action-live" : ""}`}>
      <p class="action-said" role="status">
        {lost ? (
          <strong>Not connected</strong>
        ) : refused ? (
          <strong>{refused.message}</strong>
        ) : busy.value ? (
          <Going />
        ) : (
          (first ?? <Ready />)
        )}
      </p>
      <PagesButton />
      {busy.value ? (
        <StopButton lost={lost} />
      ) : (
        <button
          type="button"
          class="button button-solid action-button"
          onClick={job ? (job.begin ?? (() => void send(job.command, {}))) : startWalk}
          disabled={(first ?? null) !== null || lost}
        >
          <StartIcon />
          {job ? (job.now.value?.end ? job.again : job.start) : state.number === 0 ? "Start walk" : "Walk again"}
        </button>
      )}
    </div>
  );
}

/** Whoever drafts a plan is at choosing one already. */
function draftFirst(): string | null {
  const drafting = view.value === "plan" && viewPath.value[0] === "draft";
  if (!drafting || chosenPlan.value !== null) return null;
  const saved = desk.value?.saved !== undefined && !isEdited(desk.value);
  return saved ? "Now press “Use this plan”." : "Save this plan, then use it.";
}

const heights = new ResizeObserver(([entry]) => {
  const height = entry?.target instanceof HTMLElement ? entry.target.offsetHeight : 0;
  document.documentElement.style.setProperty("--bar-now", `${height}px`);
});

/** What lies above the bar has to know how tall it is: its sentence may take several lines. */
function keepBarHeight(bar: HTMLElement | null): void {
  heights.disconnect();
  if (bar) heights.observe(bar);
}

/** Everybody's, whoever controls. */
function StopButton({ lost }: { lost: boolean }) {
  return (
    <button type="button" class="button button-stop action-button" onClick={stopWalk} disabled={stopping.value || lost}>
      <StopIcon />
      {stopping.value ? "Stopping" : "Stop"}
      <kbd>Esc</kbd>
    </button>
  );
}

function Going() {
  const job = goingOn.value;
  if (stopping.value) return <>Turning all outputs off</>;
  if (job !== null && job !== "walk") {
    return (
      <>
        <strong>{job.title}</strong>
        {goesOnHere.value ? (
          <span class="action-more">{job.doing}</span>
        ) : (
          <a class="action-more" href={jobHref(job)}>
            Go there
          </a>
        )}
      </>
    );
  }
  const state = walk.value;
  const words = phaseWords.find((row) => row.phase === state?.phase);
  return (
    <>
      <strong>
        {words?.word}
        {state?.pin ? `, pin ${state.pin}` : ""}
      </strong>
      <span class="action-more">{words?.doing}</span>
    </>
  );
}

/** For those who hear the page: the verdict, where something is always listened to. */
function lastVerdict(): string {
  const end = walk.value?.end;
  if (!end) return "";
  const word = end.kind === "judged" ? overallWords[end.findings.overall].word : endWords[end.kind];
  return `Last walk: ${word}. `;
}

const endWords = { stopped: "stopped", "could-not-test": "could not test" } as const;

function Ready() {
  const put = faults.value?.put.length ?? 0;
  const bench = chosenBench.value;
  return (
    <>
      <span class="said-only">{lastVerdict()}</span>
      <strong>Ready</strong>
      <span class="action-more">
        {bench?.kind === "virtual" && jobOfPage.value?.view !== "bench"
          ? put === 0
            ? `Healthy virtual ${testedThing.value}`
            : `${put} ${put === 1 ? "fault" : "faults"} in the virtual ${testedThing.value}`
          : bench?.name}
      </span>
    </>
  );
}
