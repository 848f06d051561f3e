import { busy } from "../live/bench-jobs.js";
import { send } from "../live/connection.js";
import { checks } from "../live/workbench-store.js";
import { Refusal } from "./refusal.js";

/** What has to be seen to before anything is driven. On a virtual bench nothing can be hurt, and the list says so. */
export function ChecksPanel({ step }: { step?: number }) {
  const state = checks.value;
  if (!state) return null;
  return (
    <section class="sheet" aria-labelledby="checks-title">
      <div class="sheet-head">
        <h2 id="checks-title">{step !== undefined && <span class="step">{step}</span>}Before power goes on</h2>
        {state.needed && (
          <p class="sheet-note">
            {state.items.filter((item) => item.ticked).length} of {state.items.length} ticked
          </p>
        )}
      </div>
      {state.needed ? (
        <ul class="choice-list">
          {state.items.map((item) => (
            <li key={item.id}>
              <label class="choice">
                <input
                  type="checkbox"
                  checked={item.ticked}
                  disabled={busy.value}
                  onChange={(event) =>
                    void send("check:tick", { checkId: item.id, ticked: event.currentTarget.checked })
                  }
                />
                <span class="check-text">{item.text}</span>
              </label>
            </li>
          ))}
        </ul>
      ) : (
        <NotNeeded items={state.items} />
      )}
      <Refusal of={["check:tick"]} />
    </section>
  );
}

function NotNeeded({ items }: { items: readonly { id: string; text: string }[] }) {
  return (
    <>
      <p>
        <strong>Not needed on the virtual bench.</strong> Nothing real is connected.
        {items.length > 0 && " On a real bench you tick each of these before every walk:"}
      </p>
      <ul class="plain-list">
        {items.map((item) => (
          <li key={item.id}>{item.text}</li>
        ))}
      </ul>
    </>
  );
}
