import { signal } from "@preact/signals";

/** The pages of the dashboard, each at its own hash. A further page is one row here and one panel in app.tsx. */
export const views = [
  { view: "set-up", title: "Set up" },
  { view: "walk", title: "Walk" },
  { view: "back-feed", title: "Back-feed" },
  { view: "walk-round", title: "Walk-round" },
] as const;

export type View = (typeof views)[number]["view"];

function fromHash(): View {
  return views.find(({ view }) => `#${view}` === location.hash)?.view ?? "set-up";
}

export const view = signal<View>(fromHash());

addEventListener("hashchange", () => {
  view.value = fromHash();
});
