import type { ListeningView } from "@pinwalk/host/server/listening/listening-contract.js";
import { send } from "../../live/connection.js";

/** What the person is to do at the outlet now, with the answers to it. */
export function OutletStep({ state }: { state: ListeningView }) {
  const { title, more } = wordsOf(state);
  const answer = (what: "ready" | "skip") => () => void send("listening:answer", { answer: what });
  const stopping = state.state === "stopping";
  return (
    <section class="sheet heard" aria-labelledby="outlet-now">
      <p class="heard-place">Nothing is driven by the bench.</p>
      <div role="status">
        <h2 id="outlet-now">{title}</h2>
        <p class="heard-function">{more}</p>
      </div>
      {state.stepWords !== null && (
        <div class="answers">
          <button type="button" class="button button-solid" disabled={stopping} onClick={answer("ready")}>
            It is so: listen
          </button>
          <button type="button" class="button" disabled={stopping} onClick={answer("skip")}>
            Leave this out
          </button>
        </div>
      )}
    </section>
  );
}

function wordsOf({ step, stepWords, pin }: ListeningView): { readonly title: string; readonly more: string } {
  if (step === null || step === "connecting")
    return { title: "Getting the bench ready", more: "Leave the tow vehicle as it is for now." };
  if (stepWords === null) {
    const loads = step === "with-loads" ? "with the far loads" : "without the far loads";
    return { title: `Pin ${pin ?? ""}, ${loads}`, more: "Leave every function on until all pins are done." };
  }
  return { title: step === "with-loads" ? "Put the far loads on" : "Switch every function on", more: stepWords };
}
