import type { BatchView } from "@pinwalk/host/server/cable-batch/cable-contract.js";
import { ToneIcon } from "../../drawing/icons.js";
import { ohmsText } from "../../words/ohms-text.js";
import { timeText } from "../../words/record-time.js";
import { overallWords } from "../../words/verdict-words.js";

/** The batch so far: how its resistances spread, and each cable with its verdict. */
export function BatchTables({ batch }: { batch: BatchView }) {
  const query = new URLSearchParams({ batch: batch.batch });
  return (
    <section class="sheet" aria-labelledby="batch-tables-title">
      <div class="sheet-head">
        <h2 id="batch-tables-title">
          {batch.tested} {batch.tested === 1 ? "cable" : "cables"} tested, {batch.passed} passed
        </h2>
        <p class="sheet-note">Ohms; of a number tested twice the newest counts</p>
      </div>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls has to be reached by key. */}
      <section class="matrix-scroll" aria-label="Cables of the batch" tabIndex={0}>
        <table class="batch-table">
          <thead>
            <tr>
              <th scope="col">Serial number</th>
              <th scope="col">Verdict</th>
              {batch.columns.map((pin) => (
                <th key={pin} scope="col" class="number">
                  {pin}
                </th>
              ))}
              <th scope="col">Tested</th>
            </tr>
          </thead>
          <tbody class="batch-spread">
            {(["least", "median", "most"] as const).map((what) => (
              <tr key={what}>
                <th scope="row">{what === "least" ? "Least" : what === "median" ? "Median" : "Most"}</th>
                <td />
                {batch.spread.map((row) => (
                  <td key={row.pin} class="number">
                    {ohmsText(row[what])}
                  </td>
                ))}
                <td />
              </tr>
            ))}
          </tbody>
          <tbody>
            {batch.rows.map((row) => (
              <tr key={row.hash} class={row.verdict === "fail" ? "conductor-wrong" : ""}>
                <th scope="row">
                  <a href={`#records/record/${row.hash}`}>{row.serial}</a>
                </th>
                <td>
                  <span class={`said tone-${overallWords[row.verdict].tone}`}>
                    <ToneIcon tone={overallWords[row.verdict].tone} /> {overallWords[row.verdict].word}
                  </span>
                  {row.wrong.length > 0 && <small>{row.wrong.join(", ")}</small>}
                </td>
                {row.ohms.map((ohms, index) => (
                  <td key={batch.columns[index]} class="number">
                    {ohms === null ? "–" : ohmsText(ohms)}
                  </td>
                ))}
                <td>{timeText(row.testedAt)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      <Apart batch={batch} />
      <p class="batch-files">
        <a class="button" href={`/records/batch/cables.csv?${query}`} download>
          Cables (CSV)
        </a>
        <a class="button" href={`/records/batch/spread.csv?${query}`} download>
          Spread (CSV)
        </a>
      </p>
    </section>
  );
}

/** Cables whose value stands apart from the others. */
function Apart({ batch }: { batch: BatchView }) {
  const apart = batch.spread.filter(({ outliers }) => outliers.length > 0);
  if (apart.length === 0) return null;
  return (
    <p class="set-off">
      Stand apart from the others: {apart.map(({ pin, outliers }) => `${outliers.join(", ")} in ${pin}`).join("; ")}.
    </p>
  );
}
