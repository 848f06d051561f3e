import type { VerifyLine } from "@pinwalk/host/server/records/records-contract.js";
import { useState } from "preact/hooks";
import { ToneIcon } from "../../drawing/icons.js";
import { verifyRecords } from "../../live/records-requests.js";
import { Failure } from "./failure.js";

type Report = Extract<VerifyLine, { kind: "report" }>["report"];

/** Checks that nothing was changed since, record by record and page by page. */
export function VerifyPanel() {
  const [line, setLine] = useState<VerifyLine | null>(null);
  const [going, setGoing] = useState(false);
  const verify = async () => {
    setGoing(true);
    setLine(null);
    await verifyRecords(setLine);
    setGoing(false);
  };
  return (
    <section class="sheet" aria-labelledby="verify-title">
      <div class="sheet-head">
        <h2 id="verify-title">Unchanged since?</h2>
      </div>
      <p class="sheet-note">
        Works out the fingerprint and the signature of every record anew, and looks whether each points at the one
        before.
      </p>
      <div class="records-actions">
        <button type="button" class="button" disabled={going} onClick={() => void verify()}>
          {going ? "Checking …" : "Check all records"}
        </button>
        {going && <Progress line={line} />}
      </div>
      <div role="status">{line?.kind === "report" && <VerifyResult report={line.report} />}</div>
      <Failure message={line?.kind === "failed" ? line.message : null} />
    </section>
  );
}

function Progress({ line }: { line: VerifyLine | null }) {
  if (line?.kind !== "progress") return null;
  return (
    <>
      <progress value={line.done} max={line.all} aria-label="Records checked" />
      <span>
        {line.done} of {line.all}
      </span>
    </>
  );
}

function VerifyResult({ report }: { report: Report }) {
  const { holds, records, bad, badCount, problems, remarks } = report;
  const tone = holds ? "pass" : "fail";
  return (
    <div class={`seal tone-${tone}`}>
      <ToneIcon tone={tone} size={28} />
      <div>
        <strong>
          {holds
            ? `All hold: ${records} ${records === 1 ? "record is" : "records are"} as written.`
            : "Something was changed."}
        </strong>
        {bad.length > 0 && (
          <p>
            {badCount === 1 ? "One record does" : `${badCount} records do`} not hold. Do not write to the store; a
            backup brings back what was there.
          </p>
        )}
        <ul>
          {bad.slice(0, 20).map((one) => (
            <li key={`${one.signer}${one.number}${one.hash}`}>
              {one.hash ? <a href={`#records/record/${one.hash}`}>Record #{one.number ?? "?"}</a> : "A record"}
              {one.serial && (
                <>
                  {" of "}
                  <bdi>{one.serial}</bdi>
                </>
              )}
              : {one.problem}.
            </li>
          ))}
          {problems.slice(0, 20).map(({ where, problem }) => (
            <li key={`${where}${problem}`}>
              {where}: {problem}.
            </li>
          ))}
          {remarks.map((remark) => (
            <li key={remark}>{remark}</li>
          ))}
        </ul>
      </div>
    </div>
  );
}
