import { retry } from "../live/connection.js";
import { sentAway } from "../live/people.js";
import { link, lostAt, workbench } from "../live/workbench-store.js";
import { timeText } from "../words/record-time.js";
import "./connection-banner.css";

/** Says that what stands on the page is old and since when, and what happens to whatever is driven meanwhile. */
export function ConnectionBanner() {
  if (link.value !== "lost" || !workbench.value) return null;
  if (sentAway.value) return <SentAway />;
  return (
    <div class="connection-banner" role="alert">
      <p>
        <strong>
          Connection lost. What you see is old{lostAt.value && `, from ${timeText(lostAt.value.toISOString())}`}.
        </strong>{" "}
        <span>
          What is driven ends with all outputs off when whoever controls is gone. Check that Pinwalk is still running on
          the computer at the bench and that this device is on its network; this page reconnects by itself.
        </span>
      </p>
      <button type="button" class="button" onClick={retry}>
        Try again now
      </button>
    </div>
  );
}

function SentAway() {
  return (
    <div class="connection-banner" role="alert">
      <p>
        <strong>This browser is not paired any more. What you see is old.</strong>
      </p>
      <a class="button" href="/pair/">
        Pair it anew
      </a>
    </div>
  );
}
