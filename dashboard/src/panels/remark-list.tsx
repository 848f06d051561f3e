import type { RemarkView } from "@pinwalk/host/server/contract.js";
import { ToneIcon } from "../drawing/icons.js";
import { severityWords } from "../words/severity-words.js";

/** Remarks about a plan, each with its weight, place, sentence, figures and source. */
export function RemarkList({ remarks }: { remarks: readonly RemarkView[] }) {
  return (
    <ul class="remarks">
      {remarks.map((remark) => (
        <Remark key={`${remark.where} ${remark.text}`} remark={remark} />
      ))}
    </ul>
  );
}

function Remark({ remark }: { remark: RemarkView }) {
  const { word, tone } = severityWords[remark.severity];
  return (
    <li class={`remark tone-${tone}`}>
      <ToneIcon tone={tone} size={22} />
      <p class="remark-head">
        <strong>{word}</strong> <span>{remark.where}</span>
      </p>
      <p class="remark-text">{remark.text}</p>
      <p class="sheet-note">
        {remark.figure && <span class="remark-figure">Figure {remark.figure}. </span>}
        {remark.limit && <span class="remark-figure">Limit {remark.limit}. </span>}
        Source: {remark.source}.
      </p>
    </li>
  );
}
