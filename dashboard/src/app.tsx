import type { BaysView } from "@pinwalk/host/server/bays/bays-contract.js";
import { useEffect, useLayoutEffect, useRef } from "preact/hooks";
import { bayHref, bayNumber, bays } from "./live/bay.js";
import { retry } from "./live/connection.js";
import { giveSignsOfLife } from "./live/sign-of-life.js";
import { stopOnEscape } from "./live/start-walk.js";
import { stayAwake } from "./live/stay-awake.js";
import { link, workbench } from "./live/workbench-store.js";
import { ActionBar } from "./panels/action-bar.js";
import { BackFeedView } from "./panels/back-feed-view.js";
import { BenchView } from "./panels/bench/bench-view.js";
import { CableView } from "./panels/cable/cable-view.js";
import { ConnectionBanner } from "./panels/connection-banner.js";
import { ControlBanner } from "./panels/control-banner.js";
import { FlexWatchView } from "./panels/flex/flex-watch-view.js";
import { GuideStrip } from "./panels/guide/guide-strip.js";
import { FindWiresView } from "./panels/listening/find-wires-view.js";
import { PeopleView } from "./panels/people/people-view.js";
import { PlanWorkView } from "./panels/plan-work-view.js";
import { RecordsView } from "./panels/records/records-view.js";
import { SetUpView } from "./panels/set-up-view.js";
import { TopBar } from "./panels/top-bar.js";
import { WalkRoundView } from "./panels/walk-round-view.js";
import { WalkView } from "./panels/walk-view.js";
import { type View, view } from "./view.js";

/** The page: bar above, the view, and below it the bar with start and stop that never leaves the screen. */
export function App() {
  useEffect(() => {
    addEventListener("keydown", stopOnEscape);
    const still = giveSignsOfLife();
    const doze = stayAwake();
    return () => {
      doze();
      removeEventListener("keydown", stopOnEscape);
      still();
    };
  }, []);
  return (
    <>
      <button type="button" class="skip" onClick={toContent}>
        Skip to content
      </button>
      <TopBar />
      <ConnectionBanner />
      <ControlBanner />
      <main id="content" tabIndex={-1} class={link.value === "lost" && workbench.value ? "stale" : undefined}>
        {workbench.value ? <ViewPanel /> : <Waiting />}
      </main>
      {workbench.value && <ActionBar />}
    </>
  );
}

const viewPanels = {
  plan: PlanWorkView,
  "set-up": SetUpView,
  walk: WalkView,
  "back-feed": BackFeedView,
  "walk-round": WalkRoundView,
  "flex-watch": FlexWatchView,
  "find-wires": FindWiresView,
  cable: CableView,
  records: RecordsView,
  people: PeopleView,
  bench: BenchView,
} as const;

/** Pages on which the steps of an install check stand above everything else. */
const guidedViews: readonly View[] = ["set-up", "walk", "back-feed", "walk-round"];

/** Another page begins at its top: without this it opens as far down as the one before was scrolled. */
function useTopOfPage(page: View): void {
  const before = useRef(page);
  // Before the paint, and so before whoever leads to a part of the new page goes there.
  useLayoutEffect(() => {
    if (before.current === page) return;
    before.current = page;
    scrollTo(0, 0);
  }, [page]);
}

function ViewPanel() {
  const Panel = viewPanels[view.value];
  useTopOfPage(view.value);
  return (
    <>
      {guidedViews.includes(view.value) && <GuideStrip setUp={view.value === "set-up"} />}
      <Panel />
    </>
  );
}

function Waiting() {
  if (bays.value && !bays.value.list.some(({ number }) => number === bayNumber))
    return <NoSuchBay list={bays.value.list} />;
  return (
    <div class="sheet waiting" role="status">
      {link.value === "lost" ? (
        <>
          <h2>Not connected</h2>
          <p>
            The computer at the bench does not answer. Start Pinwalk there (npm start), or bring this device back into
            its network; this page connects by itself.
          </p>
          <button type="button" class="button" onClick={retry}>
            Try again now
          </button>
        </>
      ) : (
        "Asking the computer at the bench …"
      )}
    </div>
  );
}

/** Only whoever may control opens a bay, and there are few of them. */
function NoSuchBay({ list }: Pick<BaysView, "list">) {
  return (
    <div class="sheet waiting" role="status">
      <h2>There is no bay {bayNumber}</h2>
      <p>It has not been opened. If somebody opens it, this page shows it by itself. These there are:</p>
      {list.map(({ number, plan }) => (
        <p key={number}>
          <a class="button" href={bayHref(number, view.value)}>
            Go to bay {number}
            {plan !== null && (
              <>
                : <bdi>{plan}</bdi>
              </>
            )}
          </a>
        </p>
      ))}
    </div>
  );
}

// The hash belongs to the views, so this moves the focus by hand.
function toContent(): void {
  document.getElementById("content")?.focus();
}
