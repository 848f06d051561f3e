import type { Findings } from "@pinwalk/host/diagnosis/findings.js";
import { percentText } from "../words/probability-words.js";
import "./explanations-panel.css";

type NextCheck = Findings["nextChecks"][number];

const mostOutcomes = 4;

/** The looks, touches and measurements that would tell the explanations apart best, the most useful first. */
export function NextChecksPanel({ findings }: { findings: Findings }) {
  if (findings.nextChecks.length === 0) return null;
  return (
    <section class="sheet" aria-labelledby="next-checks-title">
      <div class="sheet-head">
        <h2 id="next-checks-title">Look at this first</h2>
      </div>
      <ol>
        {findings.nextChecks.map((check, index) => (
          <li key={check.text} class="next-check">
            <b>{index + 1}</b>
            <div>
              <p>{check.text}</p>
              <p class="sheet-note">{worth(check)}</p>
              <Outcomes check={check} />
              {"walkRound" in check.check && (
                <a class="button set-off" href="#walk-round">
                  Go to Walk-round
                </a>
              )}
              {"switch" in check.check && (
                <a class="button set-off" href="#back-feed">
                  Go to Back-feed
                </a>
              )}
            </div>
          </li>
        ))}
      </ol>
    </section>
  );
}

/** How far the answer narrows things down: one bit settles a question between two that are equally likely. */
function worth({ bits, minutes }: NextCheck): string {
  const tells = bits >= 0.7 ? "Tells much" : bits >= 0.3 ? "Tells something" : "Tells little";
  const figure = `${tells} (${bits.toFixed(2)} bits)`;
  return minutes === undefined ? `${figure}.` : `${figure}, takes about ${minutes}\u00a0min.`;
}

function Outcomes({ check: { outcomes = [] } }: { check: NextCheck }) {
  if (outcomes.length < 2) return null;
  const likeliest = [...outcomes].sort((one, other) => other.chance - one.chance);
  return (
    <details class="grounds">
      <summary>What may come of it</summary>
      <ul>
        {likeliest.slice(0, mostOutcomes).map((row) => (
          <li key={row.answer}>
            {percentText(row.chance)}: {row.text}
          </li>
        ))}
      </ul>
    </details>
  );
}
