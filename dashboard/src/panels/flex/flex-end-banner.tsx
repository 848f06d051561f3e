import type { FlexEnd, FlexWatchView as State } from "@pinwalk/host/server/flex-watch/flex-watch-contract.js";
import { useState } from "preact/hooks";
import { ToneIcon } from "../../drawing/icons.js";
import { bayBase } from "../../live/bay.js";
import { keepDraft } from "../../live/keep-draft.js";
import { overallWords } from "../../words/verdict-words.js";
import "../job-end-banner.css";

/** How the watch has ended, and where its result can go. */
export function FlexEndBanner({ end, state }: { end: FlexEnd; state: State }) {
  const { tone, word, sentence } = wordsOf(end, state);
  return (
    <section class={`sheet job-end tone-${tone}`} aria-label="Result of the flex watch">
      <ToneIcon tone={tone} size={44} />
      <div>
        <div role="status">
          <h2>{word}</h2>
          <p>{sentence}</p>
        </div>
        {state.hasResult && (
          <div class="answers">
            <a class="button" href={`${bayBase}/flex-watch/result?run=${state.run}`} download>
              Download the result
            </a>
            <ToNotes state={state} word={word} />
          </div>
        )}
      </div>
    </section>
  );
}

function wordsOf(end: FlexEnd, state: State) {
  switch (end.kind) {
    case "watched": {
      const bad = state.conductors.filter(({ verdict }) => verdict !== "pass").map(({ pin }) => pin);
      const sentence =
        bad.length === 0
          ? `${state.conductors.length === 1 ? "The conductor" : `All ${state.conductors.length} conductors`} held while the cable was moved.`
          : `Look at ${bad.join(", ")}.`;
      return { ...overallWords[end.overall], sentence };
    }
    case "stopped":
      return { tone: "stopped", word: "Stopped", sentence: end.message } as const;
    case "could-not-test":
      return { tone: "not-tested", word: "Could not test", sentence: end.message } as const;
  }
}

/** A record has no place of its own for a flex watch; its notes are signed with it. */
function ToNotes({ state, word }: { state: State; word: string }) {
  const [taken, setTaken] = useState(0);
  const add = () => {
    const lines = [`Flex watch of ${state.planName}: ${word}.`, ...state.conductors.map((row) => row.words ?? "")];
    const { notes } = keepDraft.value;
    keepDraft.value = {
      ...keepDraft.value,
      notes: [notes.trimEnd(), ...lines].filter((line) => line !== "").join("\n"),
    };
    setTaken(state.run);
  };
  return taken === state.run ? (
    <p role="status">In the notes of the next record: it is kept with the cable after its walk.</p>
  ) : (
    <button type="button" class="button" onClick={add}>
      Put it into the record's notes
    </button>
  );
}
