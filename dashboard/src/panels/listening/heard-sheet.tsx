import type { ListeningView } from "@pinwalk/host/server/listening/listening-contract.js";
import { ToneIcon } from "../../drawing/icons.js";
import { send } from "../../live/connection.js";

/** What the wire does now, in words that can be read from the driver's seat. */
export function HeardSheet({ state }: { state: ListeningView }) {
  const { now } = state;
  const [first = "", ...notes] = now?.words ?? [];
  return (
    <section class="sheet heard" aria-labelledby="heard-now">
      <p class="heard-place">
        Listening to <b>{state.pin}</b>
        {state.wire !== "" && (
          <>
            , <bdi>{state.wire}</bdi>
          </>
        )}
        . Nothing is driven.
      </p>
      <div role="status">
        <h2 id="heard-now">{state.step === "connecting" ? "Getting the bench ready" : now ? first : "Listening …"}</h2>
        {now && <p class="heard-function">{now.functionWords}</p>}
      </div>
      {notes.map((note) => (
        <p key={note} class={now?.caution ? "heard-note heard-caution" : "heard-note"}>
          {now?.caution && <ToneIcon tone="warning" />}
          <span>{note}</span>
        </p>
      ))}
      {now && now.lostWindows > 0 && (
        <p class="sheet-note">{now.lostWindows} windows of 2&nbsp;ms were lost on the line to the bench.</p>
      )}
      <div class="answers">
        <button
          type="button"
          class={`button${now && !now.silent ? " button-solid" : ""}`}
          disabled={state.state === "stopping" || state.step === "connecting"}
          onClick={() => void send("listening:answer", { answer: "finish" })}
        >
          Write it down
        </button>
      </div>
    </section>
  );
}
