import type { CableConductor, CableResult } from "@pinwalk/host/server/cable-batch/cable-contract.js";
import { ToneIcon } from "../../drawing/icons.js";
import { WireSwatch } from "../../drawing/wire-swatch.js";
import { voltsText } from "../../words/amounts.js";
import { doubtfulOhmsText } from "../../words/ohms-text.js";
import { verdictWords } from "../../words/verdict-words.js";

/** Each conductor with its resistance, and what it costs at its rated current. */
export function ConductorsTable({ result }: { result: CableResult }) {
  return (
    <section class="sheet" aria-labelledby="conductors-title">
      <div class="sheet-head">
        <h2 id="conductors-title">Conductors</h2>
        <p class="sheet-note">Resistance with its uncertainty (k&nbsp;=&nbsp;2)</p>
      </div>
      <table class="conductors">
        <thead>
          <tr>
            <th scope="col">Conductor</th>
            <th scope="col">Ends at</th>
            <th scope="col">Resistance</th>
            <th scope="col">Drop at rated current</th>
            <th scope="col">Verdict</th>
          </tr>
        </thead>
        <tbody>
          {result.conductors.map((row) => (
            <Row key={row.near} row={row} />
          ))}
          <tr>
            <th scope="row">
              <b>{result.ground.near}</b> ground
            </th>
            <td data-head="Ends at">{result.ground.far}</td>
            <td data-head="Resistance">
              <strong>{result.ground.ohms ? doubtfulOhmsText(result.ground.ohms) : "not shown"}</strong>
            </td>
            <td />
            <td />
          </tr>
        </tbody>
      </table>
      {result.conductors.some(({ ohms }) => ohms !== null && ohms.uncertainty > Math.abs(ohms.value)) && (
        <p class="sheet-note set-off">
          Where the uncertainty is larger than the value, the bench says no more than that the resistance is small.
          Lower far loads and a calibrated bench tell more.
        </p>
      )}
    </section>
  );
}

function Row({ row }: { row: CableConductor }) {
  const { word, tone } = verdictWords[row.verdict];
  return (
    <tr class={tone === "fail" ? "conductor-wrong" : ""} data-pin={row.near}>
      <th scope="row">
        <b>{row.near}</b> {row.use} <WireSwatch colour={row.colour} />
      </th>
      <td data-head="Ends at">{row.endsAt.length > 0 ? row.endsAt.join(" and ") : "nowhere"}</td>
      <td data-head="Resistance">
        <strong>{row.ohms ? doubtfulOhmsText(row.ohms) : row.endsAt.length > 1 ? "splits" : "not shown"}</strong>
      </td>
      <td data-head="Drop">{row.drop && row.rating ? <Drop drop={row.drop} rating={row.rating} /> : "–"}</td>
      <td data-head="Verdict" class="conductor-verdict">
        <span class={`said tone-${tone}`}>
          <ToneIcon tone={tone} /> {word}
        </span>
        {tone !== "pass" && <small>{row.reason}</small>}
      </td>
    </tr>
  );
}

type Known<Name extends "drop" | "rating"> = NonNullable<CableConductor[Name]>;

function Drop({ drop, rating }: { drop: Known<"drop">; rating: Known<"rating"> }) {
  const figure = `${drop.volts.toFixed(2)} ± ${voltsText(drop.uncertainty)}`;
  const told = drop.uncertainty <= drop.volts;
  return (
    <>
      <strong>{told ? figure : "too small to tell"}</strong>
      <small>
        {told ? "" : `${figure}, `}
        {drop.percent.toFixed(1)}&nbsp;% of nominal: {drop.formula}; {rating.amps}&nbsp;A is the most for {rating.from}
      </small>
    </>
  );
}
