import type { JobEnd } from "@pinwalk/host/server/contract.js";
import { ToneIcon } from "../drawing/icons.js";
import { overallWords } from "../words/verdict-words.js";
import "./job-end-banner.css";

/** How a job after a walk has ended, and the way to the verdict that it changed; `nothing` says what to do where it added nothing. */
export function JobEndBanner({ end, nothing }: { end: JobEnd; nothing: string }) {
  const { tone, word, sentence } = wordsOf(end, nothing);
  return (
    <section class={`sheet job-end tone-${tone}`} role="status" aria-label="Result">
      <ToneIcon tone={tone} size={44} />
      <div>
        <h2 id="job-end-word" tabIndex={-1}>
          {word}
        </h2>
        <p>{sentence}</p>
        {end.kind === "judged" && (
          <a class="button set-off" href="#walk">
            See the verdict
          </a>
        )}
      </div>
    </section>
  );
}

function wordsOf(end: JobEnd, nothing: string) {
  switch (end.kind) {
    case "judged":
      return { ...overallWords[end.overall], sentence: end.added ? addedAndJudged : nothing };
    case "stopped":
      return { tone: "stopped", word: "Stopped", sentence: `${end.message} ${addedWords(end.added)}` } as const;
    case "could-not-test":
      return {
        tone: "not-tested",
        word: "Could not test",
        sentence: `${end.message} ${addedWords(end.added)}`,
      } as const;
  }
}

const addedAndJudged = "The readings were added to the walk and judged anew.";
const addedWords = (added: boolean) =>
  added ? "What had been answered until then counts." : "Nothing was added to the walk.";
