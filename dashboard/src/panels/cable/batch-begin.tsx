import { signal } from "@preact/signals";
import { send } from "../../live/connection.js";
import { keepDraft } from "../../live/keep-draft.js";

/** What is typed stays while one looks at other pages. */
const draft = signal({ batch: "", serial: "", person: keepDraft.value.person, shop: keepDraft.value.shop });

const change = (part: Partial<typeof draft.value>) => {
  draft.value = { ...draft.value, ...part };
};
const given = <Name extends string>(name: Name, text: string) =>
  (text.trim() === "" ? {} : { [name]: text.trim() }) as Partial<Record<Name, string>>;

/** Begins a batch: many cables in a row, each kept as a record of its own. */
export function BatchBegin() {
  const { batch, serial, person, shop } = draft.value;
  const begin = (event: Event) => {
    event.preventDefault();
    const payload = { batch: batch.trim(), person: person.trim(), ...given("serial", serial), ...given("shop", shop) };
    void send("batch:begin", payload);
  };
  return (
    <section class="sheet" aria-labelledby="batch-begin-title">
      <div class="sheet-head">
        <h2 id="batch-begin-title">Many cables in a row</h2>
        <p class="sheet-note">One cable alone: start from the bar below</p>
      </div>
      <form class="batch-begin" onSubmit={begin}>
        <Field
          id="batch-name"
          label="Batch (needed)"
          value={batch}
          most={64}
          onValue={(text) => change({ batch: text })}
        />
        <Field
          id="batch-first"
          label="First serial number (empty: go on after the last)"
          value={serial}
          most={64}
          onValue={(text) => change({ serial: text })}
        />
        <Field
          id="batch-person"
          label="Tested by (needed)"
          value={person}
          most={120}
          onValue={(text) => change({ person: text })}
        />
        <Field id="batch-shop" label="Shop" value={shop} most={120} onValue={(text) => change({ shop: text })} />
        <button type="submit" class="button" disabled={batch.trim() === "" || person.trim() === ""}>
          Begin the batch
        </button>
      </form>
    </section>
  );
}

interface FieldProps {
  readonly id: string;
  readonly label: string;
  readonly value: string;
  readonly most: number;
  readonly onValue: (text: string) => void;
}

function Field({ id, label, value, most, onValue }: FieldProps) {
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <input
        id={id}
        value={value}
        maxLength={most}
        autocomplete="off"
        onInput={(event) => onValue(event.currentTarget.value)}
      />
    </div>
  );
}
