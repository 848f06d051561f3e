import type { BackFeedView as State } from "@pinwalk/host/server/contract.js";
import { send } from "../live/connection.js";

type Step = NonNullable<State["step"]>;

interface StepWords {
  readonly title: string;
  readonly more: string;
  /** What the person confirms, if anything. */
  readonly confirm: string | null;
}

/** What the person is to do now, in one line that can be read from the driver's seat, with the answers to it. */
export function BackFeedStepSheet({ state }: { state: State }) {
  const step = state.step ?? "connecting";
  const { title, more, confirm } = wordsOf(step, state);
  const answer = (what: "confirm" | "skip" | "finish") => () => void send("back-feed:answer", { answer: what });
  const stopping = state.state === "stopping";
  return (
    <section class="sheet back-feed-step" aria-labelledby="back-feed-now">
      <div role="status">
        <h2 id="back-feed-now">{title}</h2>
        <p>{more}</p>
      </div>
      <div class="answers">
        {confirm && (
          <button type="button" class="button button-solid" disabled={stopping} onClick={answer("confirm")}>
            {confirm}
          </button>
        )}
        {step === "switch-on" && (
          <button type="button" class="button" disabled={stopping} onClick={answer("skip")}>
            Skip this one
          </button>
        )}
        {step !== "connecting" && (
          <button type="button" class="button" disabled={stopping} onClick={answer("finish")}>
            Finish and judge
          </button>
        )}
      </div>
    </section>
  );
}

function wordsOf(step: Step, state: State): StepWords {
  const fed = state.pins.flatMap(({ pin, over }) => (over ? [pin] : []));
  const present = state.asks.find((ask) => ask.state === "now");
  const before = present && state.asks[state.asks.indexOf(present) - 1];
  switch (step) {
    case "connecting":
      return { title: "Getting the bench ready", more: "Leave everything off for now.", confirm: null };
    case "all-off":
      return {
        title: "Switch everything off",
        more: `${fed.join(", ")} carries a voltage already. If it stays, say so: that pin is then left out.`,
        confirm: "Everything is off",
      };
    case "switch-on":
      return {
        title: `Switch on: ${present?.text ?? ""}`,
        more: before ? "And everything from before off again." : "And nothing else.",
        confirm: "It is on",
      };
    case "watching":
      return { title: `Leave on: ${present?.text ?? ""}`, more: "Watching for two flashes …", confirm: null };
    case "switch-off":
      return {
        title: "Switch it off again",
        more: fed.length > 0 ? `${fed.join(", ")} still shows a voltage.` : "Waiting until it stays quiet …",
        confirm: "It is off",
      };
  }
}
