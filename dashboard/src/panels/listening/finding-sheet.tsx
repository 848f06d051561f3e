import type { FindingView, JointView, ListeningView } from "@pinwalk/host/server/listening/listening-contract.js";
import { useState } from "preact/hooks";
import { bayBase } from "../../live/bay.js";
import { send } from "../../live/connection.js";
import { keepDraft } from "../../live/keep-draft.js";
import { ControlOnly } from "../control-only.js";
import { IntoPlan } from "./into-plan.js";

/** Which wire carries what, as it was found; on paper the sheet stands alone. */
export function FindingSheet({ state: { findings, joints } }: { state: ListeningView }) {
  return (
    <section class="sheet finding-sheet" aria-labelledby="finding-sheet">
      <div class="sheet-head">
        <h2 id="finding-sheet">Wires found</h2>
        {findings.length > 0 && (
          <div class="answers finding-ways">
            <button type="button" class="button" onClick={() => print()}>
              Print
            </button>
            <a class="button" href={`${bayBase}/listening/sheet`} download>
              Download
            </a>
            <ToNotes findings={findings} />
          </div>
        )}
      </div>
      {findings.length === 0 ? (
        <p>None yet. Each wire that you write down stands here, until Pinwalk is closed.</p>
      ) : (
        <ul class="finding-rows">
          {findings.map((finding) => (
            <li key={finding.id}>
              <Finding finding={finding} joints={joints} />
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

function Finding({ finding, joints }: { finding: FindingView; joints: readonly JointView[] }) {
  const { id, wire, pin, functions, words, functionWords, heardAt } = finding;
  const name = wire === "" ? `Wire on pin ${pin}` : wire;
  return (
    <>
      <h3>
        <bdi>{name}</bdi>
        {functions.length > 0 && <>: {functions.join(" and ")}</>}
      </h3>
      <p>
        {words.join(" ")} {functionWords}
      </p>
      <p class="sheet-note">
        Heard at {new Date(heardAt).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" })}
      </p>
      {joints.length > 0 && (
        <ControlOnly>
          <IntoPlan finding={finding} joints={joints} />
        </ControlOnly>
      )}
      <ControlOnly>
        <button
          type="button"
          class="button finding-forget"
          aria-label={`Take off the sheet: ${name}`}
          onClick={() => void send("listening:forget", { findingId: id })}
        >
          Take off
        </button>
      </ControlOnly>
    </>
  );
}

/** A record has no place of its own for the vehicle's wires; its notes are signed with it. */
function ToNotes({ findings }: { findings: ListeningView["findings"] }) {
  const [taken, setTaken] = useState(0);
  const newest = findings.at(-1)?.id ?? 0;
  const add = () => {
    const lines = findings
      .filter(({ id }) => id > taken)
      .map(
        ({ wire, pin, words, functionWords }) =>
          `Wire ${wire === "" ? `on pin ${pin}` : wire}: ${words[0] ?? ""} ${functionWords}`,
      );
    const { notes } = keepDraft.value;
    keepDraft.value = {
      ...keepDraft.value,
      notes: [notes.trimEnd(), ...lines].filter((line) => line !== "").join("\n"),
    };
    setTaken(newest);
  };
  return taken === newest ? (
    <p role="status">In the notes of the next record.</p>
  ) : (
    <button type="button" class="button" onClick={add}>
      Put it into the record's notes
    </button>
  );
}
