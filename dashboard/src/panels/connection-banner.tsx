import { link } from "../live/workbench-store.js";
import "./connection-banner.css";

/** Says that what stands on the page is old, and what happens to a walk meanwhile. */
export function ConnectionBanner() {
  if (link.value !== "lost") return null;
  return (
    <div class="connection-banner" role="alert">
      <strong>Connection lost. What you see may be out of date.</strong>
      <span>
        A walk ends with all outputs off when nobody is left to stop it. Check that Pinwalk is still running on the
        computer at the bench; this page reconnects by itself.
      </span>
    </div>
  );
}
