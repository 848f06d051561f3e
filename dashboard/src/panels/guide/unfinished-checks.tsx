import type { UnfinishedCheckView } from "@pinwalk/host/server/guided-check/guide-contract.js";
import { busy } from "../../live/bench-jobs.js";
import { send } from "../../live/connection.js";
import { momentText } from "../../words/record-time.js";
import { Refusal } from "../refusal.js";

/** More than these wait behind a fold: whoever tries things out leaves many. */
const mostShown = 2;

/** Checks that were left before they were kept as records: to be taken up again, or put away. */
export function UnfinishedChecks({ checks }: { checks: readonly UnfinishedCheckView[] }) {
  return (
    <section class="sheet unfinished" aria-labelledby="unfinished-title">
      <div class="sheet-head">
        <h2 id="unfinished-title">
          {checks.length === 1 ? "A check was left unfinished" : "Checks were left unfinished"}
        </h2>
        <p class="sheet-note">What was measured is stored on the computer at the bench</p>
      </div>
      <List checks={checks.slice(0, mostShown)} />
      {checks.length > mostShown && (
        <details class="unfinished-more">
          <summary>{checks.length - mostShown} older</summary>
          <List checks={checks.slice(mostShown)} />
        </details>
      )}
      <Refusal of={["guide:take-up", "guide:put-away"]} />
    </section>
  );
}

function List({ checks }: { checks: readonly UnfinishedCheckView[] }) {
  return (
    <ul class="unfinished-list">
      {checks.map((check) => (
        <Unfinished key={check.id} check={check} />
      ))}
    </ul>
  );
}

function Unfinished({ check }: { check: UnfinishedCheckView }) {
  const name = `${check.planName}, ${momentText(check.savedAt)}`;
  const takeUp = () =>
    void send("guide:take-up", { checkId: check.id }).then((answer) => {
      if (answer.ok) location.hash = "#walk";
    });
  return (
    <li>
      <div>
        <strong>{check.planName}</strong>
        <p class="sheet-note">
          {momentText(check.savedAt)}, {check.benchName}: {check.done || "nothing driven yet"}
        </p>
      </div>
      <div class="unfinished-do">
        <button
          type="button"
          class="button"
          aria-label={`Take up again: ${name}`}
          disabled={busy.value}
          onClick={takeUp}
        >
          Take up again
        </button>
        <button
          type="button"
          class="button"
          aria-label={`Put away: ${name}`}
          onClick={() => void send("guide:put-away", { checkId: check.id })}
        >
          Put away
        </button>
      </div>
    </li>
  );
}
