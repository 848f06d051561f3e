import { StartIcon, StopIcon } from "../drawing/icons.js";
import { startWalk, stopWalk } from "../live/start-walk.js";
import {
  chosenBench,
  faults,
  hindrances,
  link,
  refusals,
  testedThing,
  walk,
  walking,
} from "../live/workbench-store.js";
import { phaseWords } from "../words/phase-words.js";
import { overallWords } from "../words/verdict-words.js";
import "./action-bar.css";

/** Start and stop, always on screen, with one sentence that says what goes on or what is missing. */
export function ActionBar() {
  const state = walk.value;
  if (!state) return null;
  const stopping = state.state === "stopping";
  const first = hindrances.value[0];
  const refused = refusals.value["walk:start"] ?? refusals.value["walk:stop"];
  return (
    <div class={`action-bar${walking.value ? " action-live" : ""}`}>
      <p class="action-said" role="status">
        {refused ? <strong>{refused.message}</strong> : walking.value ? <Going /> : (first ?? <Ready />)}
      </p>
      {walking.value ? (
        <button type="button" class="button button-stop action-button" onClick={stopWalk} disabled={stopping}>
          <StopIcon />
          {stopping ? "Stopping" : "Stop"}
          <kbd>Esc</kbd>
        </button>
      ) : (
        <button
          type="button"
          class="button button-solid action-button"
          onClick={startWalk}
          disabled={first !== undefined || link.value !== "connected"}
        >
          <StartIcon />
          {state.number === 0 ? "Start walk" : "Walk again"}
        </button>
      )}
    </div>
  );
}

function Going() {
  const state = walk.value;
  const words = phaseWords.find((row) => row.phase === state?.phase);
  if (state?.state === "stopping") return <>Turning all outputs off</>;
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
        {bench?.kind === "virtual"
          ? put === 0
            ? `Healthy virtual ${testedThing.value}`
            : `${put} ${put === 1 ? "fault" : "faults"} in the virtual ${testedThing.value}`
          : bench?.name}
      </span>
    </>
  );
}
