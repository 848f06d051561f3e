import { useEffect } from "preact/hooks";
import { stopOnEscape } from "./live/start-walk.js";
import { link, workbench } from "./live/workbench-store.js";
import { ActionBar } from "./panels/action-bar.js";
import { ConnectionBanner } from "./panels/connection-banner.js";
import { SetUpView } from "./panels/set-up-view.js";
import { TopBar } from "./panels/top-bar.js";
import { WalkView } from "./panels/walk-view.js";
import { view } from "./view.js";

/** The page: bar above, the view, and below it the bar with start and stop that never leaves the screen. */
export function App() {
  useEffect(() => {
    addEventListener("keydown", stopOnEscape);
    return () => removeEventListener("keydown", stopOnEscape);
  }, []);
  return (
    <>
      <button type="button" class="skip" onClick={toContent}>
        Skip to content
      </button>
      <TopBar />
      <ConnectionBanner />
      <main id="content" tabIndex={-1}>
        {workbench.value ? view.value === "walk" ? <WalkView /> : <SetUpView /> : <Waiting />}
      </main>
      {workbench.value && <ActionBar />}
    </>
  );
}

function Waiting() {
  return (
    <div class="sheet waiting" role="status">
      {link.value === "lost" ? "No answer from the computer at the bench yet." : "Asking the computer at the bench …"}
    </div>
  );
}

// The hash belongs to the views, so this moves the focus by hand.
function toContent(): void {
  document.getElementById("content")?.focus();
}
