import { useEffect, useState } from "preact/hooks";
import { ToneIcon } from "../../drawing/icons.js";
import { busy } from "../../live/bench-jobs.js";
import { draftFor } from "../../live/keep-draft.js";
import { keepable } from "../../live/records-requests.js";
import { walk } from "../../live/workbench-store.js";
import { Failure } from "./failure.js";
import { KeepForm } from "./keep-form.js";
import { useAnswer } from "./use-answer.js";
import "./records-view.css";

interface KeepPanelProps {
  readonly walkNumber: number;
  readonly planName: string;
  readonly cable: boolean;
}

/** Makes the walk a record; says so when it is one, whoever has kept it. */
export function KeepPanel({ walkNumber, planName, cable }: KeepPanelProps) {
  const [kept, setKept] = useState({ count: 0, remark: null as string | null });
  useEffect(() => draftFor(walkNumber, planName), [walkNumber, planName]);
  const end = walk.value?.end;
  const findings = end?.kind === "judged" ? end.findings : null;
  // Whatever may have changed what there is to keep asks again.
  const answer = useAnswer(keepable, `${walkNumber} ${kept.count} ${busy.value} ${JSON.stringify(findings)}`);
  const state = answer?.ok ? answer.value : null;
  return (
    <section class="sheet keep" aria-labelledby="keep-title">
      <div class="sheet-head">
        <h2 id="keep-title">Keep a record</h2>
      </div>
      {answer?.ok === false && <Failure message={answer.message} />}
      {state?.hash && (
        <div class="seal tone-pass" role="status">
          <ToneIcon tone="pass" size={28} />
          <div>
            <strong>Kept and signed</strong>
            <p>
              {state.state === "changed"
                ? "More was seen and judged since: keep it again, and the new record puts the first right."
                : "Nobody can change it unnoticed from now on."}
            </p>
            {kept.remark && <p>{kept.remark}</p>}
            <a class="button" href={`#records/record/${state.hash}`}>
              Open the record
            </a>
          </div>
        </div>
      )}
      {(state?.state === "ready" || state?.state === "changed") && (
        <KeepForm
          walkNumber={walkNumber}
          cable={cable}
          again={state.state === "changed"}
          onKept={(remark) => setKept(({ count }) => ({ count: count + 1, remark }))}
        />
      )}
      {state?.state === "not-judged" && !state.hash && (
        <p class="sheet-note">When what goes on with the bench has ended, it can be kept.</p>
      )}
    </section>
  );
}
