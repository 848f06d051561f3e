import { signal } from "@preact/signals";
import { useLayoutEffect } from "preact/hooks";
import { PagesIcon } from "../drawing/icons.js";
import { chosenPlan } from "../live/workbench-store.js";
import { view, viewGroups, views } from "../view.js";
import "./pages-nav.css";

/** Whether the list of pages is open on a narrow screen; on a wide one it always stands in the top bar. */
const pagesOpen = signal(false);

const toggleId = "pages-toggle";
const listId = "pages";

function close(): void {
  pagesOpen.value = false;
  document.getElementById(toggleId)?.focus();
}

/** The pages by what a person is at: a row in the top bar, on a narrow screen a sheet above the bar at the bottom. */
export function PagesNav() {
  const open = pagesOpen.value;
  // At once, not after the next picture: a Tab and an Enter that follow quickly would press what stands beside the button.
  useLayoutEffect(() => {
    if (!open) return;
    document.querySelector<HTMLElement>(`#${listId} a[aria-current]`)?.focus();
    const onKey = (event: KeyboardEvent) => {
      if (event.key === "Escape") close();
    };
    const onPress = (event: PointerEvent) => {
      const inside = event.target instanceof Element && event.target.closest(`#${listId}, #${toggleId}`);
      if (!inside) pagesOpen.value = false;
    };
    addEventListener("keydown", onKey);
    addEventListener("pointerdown", onPress);
    return () => {
      removeEventListener("keydown", onKey);
      removeEventListener("pointerdown", onPress);
    };
  }, [open]);
  const kind = chosenPlan.value?.kind;
  const fitting = views.filter((row) => row.fits === "any" || kind === undefined || row.fits === kind);
  // An address leads to every page; the one that is shown is never left out.
  const listed = views.filter((row) => fitting.includes(row) || row.view === view.value);
  return (
    <nav id={listId} class={`pages${open ? " pages-open" : ""}`} aria-label="Pages">
      {viewGroups.map(({ group, title }) => {
        const rows = listed.filter((row) => row.group === group);
        if (rows.length === 0) return null;
        return (
          <div key={group} class="pages-group">
            <span class="pages-title" aria-hidden="true">
              {title}
            </span>
            {rows.map((row) => (
              <a
                key={row.view}
                href={`#${row.view}`}
                aria-current={view.value === row.view ? "page" : undefined}
                onClick={() => {
                  pagesOpen.value = false;
                }}
              >
                {row.title}
              </a>
            ))}
          </div>
        );
      })}
    </nav>
  );
}

/** Opens the list of pages where the thumb is; only on a narrow screen. */
export function PagesButton() {
  const open = pagesOpen.value;
  return (
    <button
      id={toggleId}
      type="button"
      class="button pages-toggle"
      aria-expanded={open}
      aria-controls={listId}
      onClick={() => {
        pagesOpen.value = !open;
      }}
    >
      <PagesIcon />
      Pages
    </button>
  );
}
