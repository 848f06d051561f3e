import type { RecordListing } from "@pinwalk/host/server/records/records-contract.js";
import { signal } from "@preact/signals";
import { useEffect, useState } from "preact/hooks";
import { listRecords, type Search } from "../../live/records-requests.js";
import { Failure } from "./failure.js";
import { RecordsTable } from "./records-table.js";

const anything: Search = { text: "", verdict: "", from: "", to: "" };
/** Outlives the page, so that whoever comes back from a record finds the search as it was. */
export const search = signal<Search>(anything);
/** Somebody who types does not want an answer to every letter. */
const typingMs = 200;

type Found = Pick<RecordListing, "records" | "nextBefore" | "storePath" | "storeExists">;

export function RecordsList() {
  const [found, setFound] = useState<Found | null>(null);
  const [failure, setFailure] = useState<string | null>(null);
  const wanted = search.value;

  useEffect(() => {
    let current = true;
    const timer = setTimeout(
      async () => {
        const answer = await listRecords(wanted, null);
        if (!current) return;
        setFailure(answer.ok ? null : answer.message);
        setFound(answer.ok ? answer.value : null);
      },
      found === null ? 0 : typingMs,
    );
    return () => {
      current = false;
      clearTimeout(timer);
    };
  }, [wanted]);

  const more = async () => {
    if (!found) return;
    const answer = await listRecords(wanted, found.nextBefore);
    // A search that was changed meanwhile has a list of its own.
    if (search.value !== wanted) return;
    if (!answer.ok) return setFailure(answer.message);
    setFound({ ...answer.value, records: [...found.records, ...answer.value.records] });
  };

  return (
    <section class="sheet" aria-labelledby="records-title">
      <div class="sheet-head">
        <h2 id="records-title">Records</h2>
        <p class="sheet-note" role="status">
          {found && countText(found)}
        </p>
      </div>
      <SearchForm />
      <Failure message={failure} />
      {!found && failure === null && <p class="sheet-note">Looking …</p>}
      {found && (found.records.length > 0 ? <RecordsTable records={found.records} /> : <NoRecords found={found} />)}
      {found && found.nextBefore !== null && (
        <button type="button" class="button" onClick={() => void more()}>
          Show older ones
        </button>
      )}
    </section>
  );
}

function countText({ records, nextBefore }: Found): string {
  const count = `${records.length} ${records.length === 1 ? "record" : "records"}`;
  return nextBefore === null ? count : `the newest ${count}`;
}

function SearchForm() {
  const { text, verdict, from, to } = search.value;
  return (
    <search>
      <form class="records-search" onSubmit={(event) => event.preventDefault()}>
        <div class="field">
          <label for="records-text">Customer, vehicle, serial number, plan, person or notes</label>
          <input
            id="records-text"
            type="search"
            maxLength={200}
            autoComplete="off"
            value={text}
            onInput={(event) => {
              search.value = { ...search.value, text: event.currentTarget.value };
            }}
          />
        </div>
        <div class="field">
          <label for="records-verdict">Verdict</label>
          <select
            id="records-verdict"
            value={verdict}
            onChange={(event) => {
              search.value = { ...search.value, verdict: event.currentTarget.value };
            }}
          >
            <option value="">Any</option>
            <option value="pass">Pass</option>
            <option value="fail">Fail</option>
            <option value="unsure">Unsure</option>
          </select>
        </div>
        <div class="field">
          <label for="records-from">Tested from</label>
          <input
            id="records-from"
            type="date"
            max={to === "" ? undefined : to}
            value={from}
            onInput={(event) => {
              search.value = { ...search.value, from: event.currentTarget.value };
            }}
          />
        </div>
        <div class="field">
          <label for="records-to">to, that day included</label>
          <input
            id="records-to"
            type="date"
            min={from === "" ? undefined : from}
            value={to}
            onInput={(event) => {
              search.value = { ...search.value, to: event.currentTarget.value };
            }}
          />
        </div>
      </form>
    </search>
  );
}

function NoRecords({ found }: { found: Found }) {
  const { text, verdict, from, to } = search.value;
  const searched = [text.trim(), verdict, from, to].some((one) => one !== "");
  if (searched && found.storeExists)
    return (
      <div class="empty">
        <h3>No record fits</h3>
        <p>
          Every word must be somewhere in the record, and the days must include its test. Try fewer words, or only a
          part of the number.
        </p>
        <button
          type="button"
          class="button"
          onClick={() => {
            search.value = anything;
          }}
        >
          Show all records
        </button>
      </div>
    );
  return (
    <div class="empty">
      <h3>No records yet</h3>
      <p>
        Walk a vehicle or cable to its verdict, then keep it: the form is below the circuits. Records are signed and
        kept on this computer, in <span class="path">{found.storePath}</span>.
      </p>
      <a class="button" href="#walk">
        Go to Walk
      </a>
    </div>
  );
}
