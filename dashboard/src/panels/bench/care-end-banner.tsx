import type { CareEnd } from "@pinwalk/host/server/bench-care/bench-care-contract.js";
import { ToneIcon } from "../../drawing/icons.js";
import { overallWords } from "../../words/verdict-words.js";
import "../job-end-banner.css";

interface BannerProps {
  readonly end: CareEnd;
  /** In place of the verdict's word, where there is nothing to pass. */
  readonly word?: string;
  readonly done: string;
  /** What became of what had been done. */
  readonly stopped: string;
}

/** How a self-test or a calibration has ended, and where its document is. */
export function CareEndBanner({ end, word: doneWord, done, stopped }: BannerProps) {
  const tone = end.kind === "done" ? end.overall : end.kind === "stopped" ? "stopped" : "not-tested";
  const word =
    end.kind === "done"
      ? (doneWord ?? overallWords[end.overall].word)
      : end.kind === "stopped"
        ? "Stopped"
        : "Could not be done";
  return (
    <section class={`sheet job-end tone-${tone}`} role="status" aria-label="Result">
      <ToneIcon tone={tone} size={44} />
      <div>
        <h2>{word}</h2>
        <p>{end.kind === "done" ? done : `${end.message} ${stopped}`}</p>
        {end.kind === "done" && end.documentId !== null && (
          <p class="care-links">
            <a class="button" href={`/bench-care/documents/${end.documentId}/page`} target="_blank" rel="noreferrer">
              Printable page
            </a>
            <a class="button" href={`/bench-care/documents/${end.documentId}`} download>
              Document (JSON)
            </a>
          </p>
        )}
      </div>
    </section>
  );
}
