import { leave } from "../../live/access-requests.js";
import { you } from "../../live/people.js";

/** What the browser of a paired person says about itself. */
export function ThisPhone() {
  return (
    <section class="sheet" aria-labelledby="this-phone">
      <div class="sheet-head">
        <h2 id="this-phone">This phone</h2>
      </div>
      <div class="let-in-closed">
        <p>
          {you.value?.role === "watch"
            ? "It may watch and press stop. To let it control, pair it anew at the computer."
            : "It may control, one person at a time."}{" "}
          It stays paired until Pinwalk ends, or until it has not been used for twelve hours.
        </p>
        {!isSecureContext && (
          <p>
            On this network the page cannot keep the screen on by itself: set the phone’s own screen time-out to a few
            minutes. When the phone that controls falls asleep, what is driven ends with all outputs off.
          </p>
        )}
        <button type="button" class="button" onClick={() => void leave()}>
          Leave, and forget this phone
        </button>
      </div>
    </section>
  );
}
