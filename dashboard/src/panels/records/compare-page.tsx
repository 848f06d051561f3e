import type { ComparisonView } from "@pinwalk/host/server/records/records-contract.js";
import { ToneIcon } from "../../drawing/icons.js";
import { compareSerial } from "../../live/records-requests.js";
import { dayText, momentText } from "../../words/record-time.js";
import { overallWords } from "../../words/verdict-words.js";
import { fetchedPart } from "../fetched-part.js";
import { Failure } from "./failure.js";
import { useAnswer } from "./use-answer.js";

const DriftChart = fetchedPart(async () => (await import("./drift-chart.js")).DriftChart, "drift-chart");

type Circuit = ComparisonView["circuits"][number];

/** All records of one vehicle or cable: what has drifted by more than the bench can err, and each circuit over time. */
export function ComparePage({ serial }: { serial: string }) {
  const answer = useAnswer(compareSerial, serial);
  return (
    <div class="records">
      <a class="button records-back" href="#records">
        All records
      </a>
      {answer === null && <p role="status">Looking …</p>}
      {answer?.ok === false && <Failure message={answer.message} />}
      {answer?.ok && <Page comparison={answer.value} />}
    </div>
  );
}

function Page({ comparison }: { comparison: ComparisonView }) {
  const { records, circuits, statements, cautions, leftOut } = comparison;
  const [first, last] = [records[0], records.at(-1)];
  return (
    <>
      <section class="sheet" aria-labelledby="compare-title">
        <div class="sheet-head">
          <h2 id="compare-title">
            <bdi>{comparison.serial}</bdi> over time
          </h2>
          {first && last && (
            <p class="sheet-note">
              {records.length} {records.length === 1 ? "record" : "records"}, {dayText(first.testedAt)} to{" "}
              {dayText(last.testedAt)}
              {leftOut > 0 && `; ${leftOut} that were put right are left out`}
            </p>
          )}
        </div>
        <ul class="compare-statements">
          {statements.map((text) => (
            <li key={text}>{text}</li>
          ))}
        </ul>
        {cautions.map((text) => (
          <p key={text} class="sheet-note">
            {text}
          </p>
        ))}
      </section>
      {records.length > 1 && (
        <div class="compare-circuits">
          {circuits.map((circuit) => (
            <CircuitDrift key={circuit.pin} circuit={circuit} />
          ))}
        </div>
      )}
      <section class="sheet" aria-labelledby="compare-records">
        <div class="sheet-head">
          <h2 id="compare-records">These records</h2>
        </div>
        <ul class="record-lines compare-records">
          {records.map(({ hash, testedAt, verdict, number, bench }) => (
            <li key={hash} class={`tone-${overallWords[verdict].tone}`}>
              <span class="said">
                <ToneIcon tone={overallWords[verdict].tone} />
                {overallWords[verdict].word}
              </span>{" "}
              <a href={`#records/record/${hash}`}>
                #{number}, {momentText(testedAt)}
              </a>{" "}
              {bench !== "-" && (
                <small>
                  bench <bdi>{bench}</bdi>
                </small>
              )}
            </li>
          ))}
        </ul>
      </section>
    </>
  );
}

function CircuitDrift({ circuit }: { circuit: Circuit }) {
  const { pin, significant, text, points } = circuit;
  const tone = significant ? "warning" : "none";
  return (
    <section class={`sheet tone-${tone}`} aria-labelledby={`drift-${pin}`}>
      <div class="sheet-head">
        <h2 id={`drift-${pin}`}>{pin}</h2>
        <p class="said">
          <ToneIcon tone={tone} />
          {significant ? "Changed" : "No change seen"}
        </p>
      </div>
      <p>{text}</p>
      {points.length > 0 && <DriftChart circuit={circuit} />}
    </section>
  );
}
