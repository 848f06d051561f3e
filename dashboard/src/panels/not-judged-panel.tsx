import type { Findings } from "@pinwalk/host/diagnosis/findings.js";
import "./not-judged-panel.css";

/** `order:LT+RT` → `Order of LT and RT`; names that are not known are shown as they are. */
function openWords(what: string): string {
  if (what === "left-right-order") return "Left and right";
  const order = /^order:(.+)\+(.+)$/.exec(what);
  return order ? `Order of ${order[1]} and ${order[2]}` : what.replaceAll("-", " ");
}

/** What these readings cannot show. Silence about it would read as a pass. */
export function NotJudgedPanel({ findings }: { findings: Findings }) {
  if (findings.notJudged.length === 0) return null;
  return (
    <section class="sheet" aria-labelledby="not-judged-title">
      <div class="sheet-head">
        <h2 id="not-judged-title">Not judged</h2>
      </div>
      <dl class="not-judged">
        {findings.notJudged.map((row) => (
          <div key={row.what}>
            <dt>{openWords(row.what)}</dt>
            <dd>{row.why}</dd>
          </div>
        ))}
      </dl>
    </section>
  );
}
