import type { NextCheckView } from "@pinwalk/host/server/next-check/next-check-contract.js";
import { send } from "../live/connection.js";
import { link } from "../live/workbench-store.js";
import { timeText } from "../words/record-time.js";

/** What was answered so far, in order; each can be taken back. */
export function GivenAnswers({ history, closed }: { history: NextCheckView["history"]; closed: boolean }) {
  if (history.length === 0) return null;
  return (
    <div class="given">
      <h3>Answered so far</h3>
      <ol>
        {history.map((row, index) => (
          <li key={`${row.answeredAt} ${row.question}`}>
            <div>
              <p>{row.question}</p>
              <p>
                <strong>{row.words}</strong>{" "}
                <span class="sheet-note">
                  {timeText(row.answeredAt)}
                  {!row.counts && "; counts no more, later readings have settled it"}
                </span>
              </p>
            </div>
            <button
              type="button"
              class="button"
              aria-label={`Take back: ${row.question} ${row.words}`}
              disabled={closed || link.value !== "connected"}
              onClick={() => void send("next-check:undo", { index })}
            >
              Take back
            </button>
          </li>
        ))}
      </ol>
    </div>
  );
}
