import type { UnfinishedCheckView } from "@pinwalk/host/server/guided-check/guide-contract.js";
import { busy } from "../../live/bench-jobs.js";
import { send } from "../../live/connection.js";
import { momentText } from "../../words/record-time.js";
import { Refusal } from "../refusal.js";

/** Checks that were left before they were kept as records: to be taken up again, or put away. */
export function UnfinishedChecks({ checks }: { checks: readonly UnfinishedCheckView[] }) {
  return (
    <section class="sheet unfinished" aria-labelledby="unfinished-title">
      <div class="sheet-head">
        <h2 id="unfinished-title">
          {checks.length === 1 ? "A check was left unfinished" : "Checks were left unfinished"}
        </h2>
        <p class="sheet-note">What they measured is stored on the computer at the bench</p>
      </div>
      <ul class="unfinished-list">
        {checks.map((check) => (
          <li key={check.id}>
            <div>
              <strong>{check.planName}</strong>
              <p class="sheet-note">
                {momentText(check.savedAt)}, {check.benchName}: {check.done || "nothing driven yet"}
              </p>
            </div>
            <div class="unfinished-do">
              <button
                type="button"
                class="button button-solid"
                aria-label={`Take up again: ${check.planName}, ${momentText(check.savedAt)}`}
                disabled={busy.value}
                onClick={() =>
                  void send("guide:take-up", { checkId: check.id }).then((answer) => {
                    if (answer.ok) location.hash = "#walk";
                  })
                }
              >
                Take up again
              </button>
              <button
                type="button"
                class="button"
                aria-label={`Put away: ${check.planName}, ${momentText(check.savedAt)}`}
                onClick={() => void send("guide:put-away", { checkId: check.id })}
              >
                Put away
              </button>
            </div>
          </li>
        ))}
      </ul>
      <Refusal of={["guide:take-up", "guide:put-away"]} />
    </section>
  );
}
