import type { GuideStepView, GuideView } from "@pinwalk/host/server/guided-check/guide-contract.js";
import { useState } from "preact/hooks";
import { StepMark } from "../../drawing/step-mark.js";
import { send } from "../../live/connection.js";
import { guideStateWords, guideWords } from "../../words/guide-words.js";

type LeaveOutStep = "back-feed" | "walk-round" | "next-checks" | "keep";

/** Every step in a line of its own, with what came of it; here a step is left out, or taken in again. */
export function AllSteps({ guide }: { guide: GuideView }) {
  return (
    <details class="guide-all">
      <summary>All steps, and leaving one out</summary>
      <ol>
        {guide.steps.map((row) => (
          <li key={row.step}>
            <StepMark state={row.step === guide.next && row.state === "to-come" ? "next" : row.state} />
            <div>
              <p>
                <strong>{guideWords[row.step].word}</strong>: {guideStateWords[row.state]}
                {row.detail && `, ${row.detail}`}
              </p>
              {row.mayLeaveOut && <LeaveOut row={row} />}
            </div>
          </li>
        ))}
      </ol>
      <p class="sheet-note">
        The check list and the measuring of every pin are not left out: everything else rests on them.
      </p>
    </details>
  );
}

const usual: Readonly<Record<LeaveOutStep, string>> = {
  "back-feed": "own lamps cannot be switched on here",
  "walk-round": "lamps were looked at in another way",
  "next-checks": "mended without them",
  keep: "only tried out",
};

function LeaveOut({ row }: { row: GuideStepView }) {
  const step = row.step as LeaveOutStep;
  const [reason, setReason] = useState(usual[step]);
  const words = guideWords[step].word;
  if (row.state === "left-out")
    return (
      <button
        type="button"
        class="button"
        aria-label={`Take in again: ${words}`}
        onClick={() => void send("guide:leave-out", { step, reason: null })}
      >
        Take in again
      </button>
    );
  if (row.state === "done" || row.state === "now") return null;
  const leave = (event: Event) => {
    event.preventDefault();
    if (reason.trim() !== "") void send("guide:leave-out", { step, reason: reason.trim() });
  };
  return (
    <form class="leave-out" onSubmit={leave}>
      <div class="field">
        <label for={`why-${step}`}>Why {words} is left out</label>
        <input
          id={`why-${step}`}
          value={reason}
          maxLength={200}
          onInput={(event) => setReason(event.currentTarget.value)}
        />
      </div>
      <button type="submit" class="button" aria-label={`Leave out: ${words}`} disabled={reason.trim() === ""}>
        Leave out
      </button>
    </form>
  );
}
