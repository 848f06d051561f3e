import type { ImportedView, OfferedFiles } from "@pinwalk/host/server/records/records-contract.js";
import { useId, useState } from "preact/hooks";
import { ToneIcon } from "../../drawing/icons.js";
import { type Answered, backUpRecords, exportRecords, importRecords } from "../../live/records-requests.js";
import { ControlOnly } from "../control-only.js";
import { Failure } from "./failure.js";
import { search } from "./records-list.js";

/** Records for another Pinwalk, records of another, and a copy of everything against the day on which the disk fails. */
export function MovePanel() {
  return (
    <section class="sheet" aria-labelledby="move-title">
      <div class="sheet-head">
        <h2 id="move-title">Hand on, take in, copy</h2>
      </div>
      <ControlOnly>
        <div class="move-parts">
          <Making
            title="Export"
            note="All records that the search above finds, in one signed file that another Pinwalk imports and verifies."
            button="Make an export"
            make={() => exportRecords(search.value)}
          />
          <Importing />
          <Making
            title="Backup"
            note="A copy of the whole store, with the seal that shows that nobody changed it."
            button="Make a backup"
            make={backUpRecords}
          />
        </div>
      </ControlOnly>
    </section>
  );
}

interface MakingProps {
  readonly title: string;
  readonly note: string;
  readonly button: string;
  readonly make: () => Promise<Answered<OfferedFiles>>;
}

function Making({ title, note, button, make }: MakingProps) {
  const [going, setGoing] = useState(false);
  const [answer, setAnswer] = useState<Answered<OfferedFiles> | null>(null);
  const press = async () => {
    setGoing(true);
    setAnswer(null);
    setAnswer(await make());
    setGoing(false);
  };
  return (
    <div class="move-part">
      <h3>{title}</h3>
      <p class="sheet-note">{note}</p>
      <div class="records-actions">
        <button type="button" class="button" disabled={going} onClick={() => void press()}>
          {going ? "Making it …" : button}
        </button>
      </div>
      <div role="status">{answer?.ok && <Offered files={answer.value} />}</div>
      <Failure message={answer && !answer.ok ? answer.message : null} />
    </div>
  );
}

function Offered({ files: { words, files } }: { files: OfferedFiles }) {
  return (
    <div class="move-files">
      <p>{words}</p>
      {files.map(({ name, href, bytes }) => (
        <a key={href} class="button move-file" href={href} download>
          Save {name} ({sizeText(bytes)})
        </a>
      ))}
      <p class="sheet-note">Save {files.length === 1 ? "it" : "them"} within a quarter of an hour.</p>
    </div>
  );
}

/** `1.2 MB`, as file managers have it. */
function sizeText(bytes: number): string {
  return bytes < 1e6 ? `${Math.max(1, Math.round(bytes / 1e3))}\u00a0kB` : `${(bytes / 1e6).toFixed(1)}\u00a0MB`;
}

function Importing() {
  const id = useId();
  const [going, setGoing] = useState(false);
  const [answer, setAnswer] = useState<Answered<ImportedView> | null>(null);
  const take = async (file: File | undefined) => {
    if (!file) return;
    setGoing(true);
    setAnswer(null);
    const imported = await importRecords(file);
    setAnswer(imported);
    setGoing(false);
    // The list asks anew.
    if (imported.ok && imported.value.added > 0) search.value = { ...search.value };
  };
  return (
    <div class="move-part">
      <h3>Import</h3>
      <p class="sheet-note">
        A file that a Pinwalk exported. Every hash and signature is checked, and it comes in whole or not at all;
        records of other shops stay theirs.
      </p>
      <div class="field">
        <label for={id}>{going ? "Checking and taking in …" : "File ending in .pinwalk-records"}</label>
        <input
          id={id}
          type="file"
          accept=".pinwalk-records"
          disabled={going}
          onChange={(event) => {
            const input = event.currentTarget;
            void take(input.files?.[0]).then(() => {
              input.value = "";
            });
          }}
        />
      </div>
      <div role="status">{answer?.ok && <Imported view={answer.value} />}</div>
      <Failure message={answer && !answer.ok ? answer.message : null} />
    </div>
  );
}

function Imported({ view }: { view: ImportedView }) {
  const { added, alreadyThere, exportedBy, signers, remark } = view;
  return (
    <div class="seal tone-pass">
      <ToneIcon tone="pass" size={28} />
      <div>
        <strong>
          {added === 0 ? "Nothing new" : `${added} ${added === 1 ? "record" : "records"} taken in`}
          {alreadyThere > 0 && `, ${alreadyThere} there already`}
        </strong>
        <p>Exported by signer {exportedBy}; everything in it holds.</p>
        <ul>
          {signers.map(({ name, own, added: count }) => (
            <li key={name}>
              {count} of signer {name}, {own ? "this shop" : "another shop"}
            </li>
          ))}
        </ul>
        {remark !== null && <p>{remark}</p>}
      </div>
    </div>
  );
}
