import { ToneIcon } from "../../drawing/icons.js";
import { bayHref, bayNumber, bays } from "../../live/bay.js";

/** Several benches at once: each bay has its own bench, plan and walk, and a page of its own. */
export function BaysPanel() {
  const view = bays.value;
  if (!view) return null;
  return (
    <section class="sheet" aria-labelledby="bays-title">
      <div class="sheet-head">
        <h2 id="bays-title">Bays</h2>
        <p class="sheet-note">Each has its own bench, plan and walk</p>
      </div>
      <ul class="bays">
        {view.list.map(({ number, bench, plan, busy }) => (
          <li key={number} aria-current={number === bayNumber ? "true" : undefined}>
            <div>
              <p>
                <strong>Bay {number}</strong>
                {number === bayNumber && ", shown on this page"}
              </p>
              <p class="sheet-note">
                <bdi>{bench ?? "no bench chosen"}</bdi>, <bdi>{plan ?? "no plan chosen"}</bdi>
              </p>
            </div>
            {busy && (
              <p class="said tone-warning">
                <ToneIcon tone="warning" /> At work
              </p>
            )}
            {number !== bayNumber && (
              <a class="button" href={bayHref(number, "bench")}>
                Go to bay {number}
              </a>
            )}
          </li>
        ))}
      </ul>
      {view.next !== null && (
        <p class="care-links">
          <a class="button" href={bayHref(view.next, "bench")} target="_blank" rel="noreferrer">
            Open bay {view.next} in a new tab
          </a>
        </p>
      )}
      <p class="sheet-note set-off">
        A walk goes on in a bay only while a page shows that bay: for two at once, keep both open, each in its own tab
        or on its own phone. A bench that is at work in one bay is busy in the others.
      </p>
    </section>
  );
}
