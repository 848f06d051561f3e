import type { BatchView } from "@pinwalk/host/server/cable-batch/cable-contract.js";
import { useEffect, useRef, useState } from "preact/hooks";
import { ToneIcon } from "../../drawing/icons.js";
import { busy } from "../../live/bench-jobs.js";
import { confirmTaken } from "../../live/confirm.js";
import { send } from "../../live/connection.js";
import { checks, link } from "../../live/workbench-store.js";
import { overallWords } from "../../words/verdict-words.js";

/** The cable in hand: its number, and one key for the next. */
export function BatchNow({ batch, hindrance }: { batch: BatchView; hindrance: string | null }) {
  const [serial, setSerial] = useState(batch.nextSerial);
  const field = useRef<HTMLInputElement>(null);
  const working = busy.value || batch.nowSerial !== null;
  const last = batch.rows[0];
  useEffect(() => setSerial(batch.nextSerial), [batch.nextSerial]);
  // After each cable the field has the keys again, so that Enter alone goes on.
  useEffect(() => {
    if (!working) field.current?.focus();
  }, [working]);
  const closed = working || hindrance !== null || link.value !== "connected";
  const check = (event: Event) => {
    event.preventDefault();
    const number = serial.trim();
    if (closed || number === "") return;
    void send("cable:check", { serial: number }).then((answer) => {
      if (answer.ok) confirmTaken();
    });
  };
  return (
    <section class="sheet batch-now" aria-labelledby="batch-title">
      <div class="sheet-head">
        <h2 id="batch-title">Batch {batch.batch}</h2>
        <button type="button" class="button" disabled={working} onClick={() => void send("batch:end", {})}>
          End the batch
        </button>
      </div>
      <form class="batch-go" onSubmit={check}>
        <div class="field">
          <label for="batch-serial">Serial number of the cable that is plugged in</label>
          <input
            id="batch-serial"
            ref={field}
            value={serial}
            maxLength={64}
            autocomplete="off"
            aria-describedby="batch-hint"
            onInput={(event) => setSerial(event.currentTarget.value)}
          />
        </div>
        <button type="submit" class="button button-solid" disabled={closed || serial.trim() === ""}>
          Check and keep <kbd>Enter</kbd>
        </button>
      </form>
      <p id="batch-hint" class="sheet-note">
        {hindrance ??
          (checks.value?.needed
            ? "What was ticked holds for every cable of the batch: both ends in the bench's sockets, nothing else on it."
            : "Plug the next cable in, then press Enter.")}
      </p>
      <div role="status">
        {batch.nowSerial !== null && (
          <p>
            <strong>{batch.nowSerial}</strong> is being checked …
          </p>
        )}
        {batch.nowSerial === null && batch.problem && (
          <p class="batch-said tone-fail">
            <ToneIcon tone="fail" size={26} /> {batch.problem}
          </p>
        )}
        {batch.nowSerial === null && !batch.problem && last && (
          <p class={`batch-said tone-${overallWords[last.verdict].tone}`}>
            <ToneIcon tone={overallWords[last.verdict].tone} size={26} />
            <span>
              <strong>
                {last.serial}: {overallWords[last.verdict].word}
              </strong>
              {last.wrong.length > 0 && `, ${last.wrong.join(", ")}`}. Kept.
            </span>
          </p>
        )}
      </div>
    </section>
  );
}
