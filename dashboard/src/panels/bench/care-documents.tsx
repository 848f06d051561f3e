import type { CareDocument } from "@pinwalk/host/server/bench-care/bench-care-contract.js";
import { benchCare } from "../../live/bench-care.js";
import { momentText } from "../../words/record-time.js";

/** Calibrations and self-tests that are kept on this computer, the newest first. */
export function CareDocuments({ of }: { of: "any" | CareDocument["kind"] }) {
  const documents = (benchCare.value?.documents ?? []).filter(({ kind }) => of === "any" || kind === of);
  if (documents.length === 0) return null;
  return (
    <section class="sheet" aria-labelledby="care-documents">
      <div class="sheet-head">
        <h2 id="care-documents">{titles[of]}</h2>
      </div>
      <ul class="care-documents">
        {documents.map(({ id, kind, at, bench, words }) => (
          <li key={id}>
            <p>
              <strong>{kindWords[kind]}</strong> of <bdi>{bench}</bdi>, {momentText(at)}
            </p>
            <p class="sheet-note">{words}</p>
            <p class="care-links">
              <a href={`/bench-care/documents/${id}/page`} target="_blank" rel="noreferrer">
                Printable page<span class="said-only"> of {momentText(at)}, opens a new tab</span>
              </a>
              <a href={`/bench-care/documents/${id}`} download>
                Document (JSON)<span class="said-only"> of {momentText(at)}</span>
              </a>
            </p>
          </li>
        ))}
      </ul>
    </section>
  );
}

const kindWords = { calibration: "Calibration", "self-test": "Self-test" } as const;
const titles = {
  any: "What was found before",
  calibration: "Calibrations before",
  "self-test": "Self-tests before",
} as const;
