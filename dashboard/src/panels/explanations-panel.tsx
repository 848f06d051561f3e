import type { Findings } from "@pinwalk/host/diagnosis/findings.js";
import { percentText, probabilityWords } from "../words/probability-words.js";
import "./explanations-panel.css";

type Explanation = Findings["explanations"][number];
type Evidence = NonNullable<Explanation["evidence"]>[number];

/** What would account for the readings, likeliest first; what no reading can tell apart stands together. */
export function ExplanationsPanel({ findings }: { findings: Findings }) {
  if (findings.groups.length === 0) return null;
  const groups = [...findings.groups].sort((one, other) => other.probability - one.probability);
  return (
    <section class="sheet" aria-labelledby="explanations-title">
      <div class="sheet-head">
        <h2 id="explanations-title">What explains this</h2>
      </div>
      <ol class="explanations">
        {groups.map((group) => (
          <li key={group.group} class="explanation">
            <p class="chance">
              <strong>{percentText(group.probability)}</strong> {probabilityWords(group.probability)}
            </p>
            <div>
              <p class="explanation-text">{sentence(group.text)}</p>
              <ChanceBar probability={group.probability} />
              <Grounds evidence={evidenceOf(findings, group.group)} />
            </div>
          </li>
        ))}
      </ol>
    </section>
  );
}

function ChanceBar({ probability }: { probability: number }) {
  return (
    <div class="chance-rail" aria-hidden="true">
      <div style={{ width: `${Math.min(Math.max(probability, 0), 1) * 100}%` }} />
    </div>
  );
}

function evidenceOf(findings: Findings, group: number): readonly Evidence[] {
  return findings.explanations.find((one) => one.group === group && one.evidence !== undefined)?.evidence ?? [];
}

function Grounds({ evidence }: { evidence: readonly Evidence[] }) {
  if (evidence.length === 0) return null;
  return (
    <details class="grounds">
      <summary>Readings for and against it</summary>
      <ul>
        {evidence.map((row) => (
          <li key={row.reading}>
            <strong>{row.speaks === "for" ? "For" : "Against"}:</strong> {row.reading} measured {number(row.measured)},
            explained as {number(row.predicted)} ({off(row.deviations)}; if nothing were wrong,{" "}
            {off(row.deviationsIfHealthy)}).
          </li>
        ))}
      </ul>
    </details>
  );
}

function sentence(text: string): string {
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}${/[.!?)]$/.test(text) ? "" : "."}`;
}

const number = (value: number) => String(Number(value.toPrecision(3))).replace("-", "−");
const off = (deviations: number) => `${number(Math.abs(deviations))} standard deviations off`;
