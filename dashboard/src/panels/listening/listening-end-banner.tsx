import type { ListeningEnd } from "@pinwalk/host/server/listening/listening-contract.js";
import { ToneIcon } from "../../drawing/icons.js";
import { overallWords } from "../../words/verdict-words.js";
import "../job-end-banner.css";

/** How listening has ended. */
export function ListeningEndBanner({ end }: { end: ListeningEnd }) {
  const { tone, word, sentences } = wordsOf(end);
  return (
    <section class={`sheet job-end tone-${tone}`} role="status" aria-label="Result of listening">
      <ToneIcon tone={tone} size={44} />
      <div>
        <h2>{word}</h2>
        {sentences.map((sentence) => (
          <p key={sentence}>{sentence}</p>
        ))}
      </div>
    </section>
  );
}

function wordsOf(end: ListeningEnd) {
  switch (end.kind) {
    case "heard": {
      const { finding } = end;
      const names = finding.functions.join(" and ");
      const word = names === "" ? "Written down" : `${names.charAt(0).toUpperCase()}${names.slice(1)}`;
      return { tone: "none", word, sentences: [...finding.words, finding.functionWords] } as const;
    }
    case "compared":
      return { ...overallWords[end.overall], sentences: ["Each pin of the outlet is below."] };
    case "stopped":
      return { tone: "stopped", word: "Stopped", sentences: [end.message] } as const;
    case "could-not-test":
      return { tone: "not-tested", word: "Could not test", sentences: [end.message] } as const;
  }
}
