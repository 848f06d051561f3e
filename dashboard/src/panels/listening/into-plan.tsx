import type { FindingView, JointView } from "@pinwalk/host/server/listening/listening-contract.js";
import { useState } from "preact/hooks";
import { send } from "../../live/connection.js";
import { chosenPlan } from "../../live/workbench-store.js";
import { Refusal } from "../refusal.js";

/** Puts a wire that was found into the plan, at the joint where it will be spliced. */
export function IntoPlan({ finding, joints }: { finding: FindingView; joints: readonly JointView[] }) {
  const [chosen, setChosen] = useState("");
  const [asked, setAsked] = useState(false);
  const joint = joints.find((row) => `${row.pin} ${row.feed}` === chosen);
  const id = `into-plan-${finding.id}`;
  const put = async () => {
    if (!joint) return;
    setAsked(true);
    const answer = await send("listening:into-plan", { findingId: finding.id, pin: joint.pin, feed: joint.feed });
    if (answer.ok) setAsked(false);
  };
  return (
    <div class="into-plan">
      <div class="field">
        <label for={id}>Into the plan, as the vehicle's wire at</label>
        <select id={id} value={chosen} onChange={(event) => setChosen(event.currentTarget.value)}>
          <option value="">choose the joint</option>
          {joints.map((row) => (
            <option key={`${row.pin} ${row.feed}`} value={`${row.pin} ${row.feed}`}>
              {row.text}
            </option>
          ))}
        </select>
        {joint && (
          <p class="sheet-note whole-choice" aria-hidden="true">
            {joint.text}
          </p>
        )}
      </div>
      <button type="button" class="button" disabled={!joint} onClick={() => void put()}>
        {chosenPlan.value?.origin === "sample" ? "Put it into a copy of the plan" : "Put it into the plan"}
      </button>
      {asked && <Refusal of={["listening:into-plan"]} />}
    </div>
  );
}
