import type { RecordListing } from "@pinwalk/host/server/records/records-contract.js";
import { ToneIcon } from "../../drawing/icons.js";
import { momentText } from "../../words/record-time.js";
import { overallWords } from "../../words/verdict-words.js";

type Row = RecordListing["records"][number];

/** What was found, newest first; each row leads to its record. */
export function RecordsTable({ records }: { records: readonly Row[] }) {
  return (
    <table class="records-table">
      <thead>
        <tr>
          <th scope="col">Vehicle or cable</th>
          <th scope="col">Customer</th>
          <th scope="col">Plan</th>
          <th scope="col">Tested</th>
          <th scope="col">Verdict</th>
        </tr>
      </thead>
      <tbody>
        {records.map((row) => (
          <RecordRow key={row.hash} row={row} />
        ))}
      </tbody>
    </table>
  );
}

function RecordRow({ row }: { row: Row }) {
  const { word, tone } = overallWords[row.verdict];
  return (
    <tr>
      <th scope="row">
        <a href={`#records/record/${row.hash}`}>
          <bdi>{row.serial}</bdi>
        </a>
        {row.description && (
          <small>
            <bdi>{row.description}</bdi>
          </small>
        )}
      </th>
      <td class="record-customer">
        <bdi>{row.customer ?? "–"}</bdi>
      </td>
      <td class="record-plan">
        <bdi>{row.planName}</bdi>
      </td>
      <td class="record-tested">
        {momentText(row.testedAt)}
        <small>
          {row.own ? `#${row.number}` : `another shop's #${row.number}`}, <bdi>{row.person}</bdi>
        </small>
      </td>
      <td class={`record-verdict tone-${tone}`}>
        <span class="said">
          <ToneIcon tone={tone} />
          {word}
        </span>
        {row.correctedBy && <small>Put right later</small>}
      </td>
    </tr>
  );
}
