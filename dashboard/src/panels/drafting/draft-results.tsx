import { ToneIcon } from "../../drawing/icons.js";
import { ConnectorSides } from "../connector-sides.js";
import { CutListPanel } from "../cut-list-panel.js";
import { ExpectedLoads } from "../expected-loads.js";
import { PrintedPlan } from "../printed-plan.js";
import { RemarksPanel } from "../remarks-panel.js";
import { WiringPanel } from "../wiring-panel.js";
import { draft, edit, weighed } from "./draft-desk.js";
import { goToProblem } from "./draft-focus.js";
import { pathOfText } from "./draft-paths.js";
import { placeWords } from "./place-words.js";

/** What the draft comes to, as the host has worked it out. */
export function DraftResults() {
  const now = weighed.value;
  const view = now?.view ?? null;
  return (
    <div class="draft-results">
      <OpenPoints />
      {view && (
        <>
          {now && now.leftOut.length > 0 && (
            <p class="sheet draft-left-out">
              <ToneIcon tone="unsure" /> What follows is without {now.leftOut.join(", ")}: something is still open
              there.
            </p>
          )}
          <section class="sheet" aria-labelledby="loads-title">
            <div class="sheet-head">
              <h2 id="loads-title">What each pin should draw</h2>
            </div>
            {now?.unsolvable && <p>{now.unsolvable}</p>}
            {view.expected.length > 0 ? (
              <ExpectedLoads plan={view} />
            ) : (
              <p>Expected currents appear as soon as a circuit feeds a lamp.</p>
            )}
          </section>
          {view.expected.length > 0 && <RemarksPanel plan={view} />}
          <WiringPanel plan={view} />
          <section class="sheet" aria-labelledby="faces-title">
            <div class="sheet-head">
              <h2 id="faces-title">Connector</h2>
            </div>
            <ConnectorSides faces={view.faces} />
          </section>
          <CutListPanel plan={view} />
          <Sources />
          <PrintedPlan plan={view} />
        </>
      )}
    </div>
  );
}

/** Everything that is wrong or missing, each with its place; choosing one leads there. */
function OpenPoints() {
  const problems = weighed.value?.problems ?? [];
  if (problems.length === 0) return null;
  return (
    <section class="sheet" aria-labelledby="open-title">
      <div class="sheet-head">
        <h2 id="open-title">Still open</h2>
        <p class="sheet-note">The plan can be saved when nothing stands here.</p>
      </div>
      <ul class="draft-open">
        {problems.map(({ path, message, kind }) => (
          <li key={`${path} ${message}`}>
            <button type="button" onClick={() => goToProblem(path)}>
              <ToneIcon tone={kind === "missing" ? "unsure" : "fail"} />
              <span>
                <b>{placeWords(draft.value, path)}</b>: {message}
              </span>
            </button>
            {kind === "strange" && (
              <button type="button" class="button" onClick={() => edit(pathOfText(path), undefined)}>
                Take it out
              </button>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}

function Sources() {
  const sources = weighed.value?.sources ?? [];
  return (
    <section class="sheet" aria-labelledby="sources-title">
      <details class="draft-sources">
        <summary>
          <h2 id="sources-title">Where the figures come from</h2>
        </summary>
        <ul>
          {sources.map(({ part, figures, source }) => (
            <li key={part}>
              <b>{part}</b>: {figures}.<span class="sheet-note"> Source: {source}.</span>
            </li>
          ))}
        </ul>
      </details>
    </section>
  );
}
