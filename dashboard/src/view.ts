import { batch, signal } from "@preact/signals";

/** The pages of the dashboard, each at its own hash. A further page is one row here and one panel in app.tsx. */
export const views = [
  { view: "set-up", title: "Set up" },
  { view: "walk", title: "Walk" },
  { view: "back-feed", title: "Back-feed" },
  { view: "walk-round", title: "Walk-round" },
  { view: "records", title: "Records" },
] as const;

export type View = (typeof views)[number]["view"];

/** `#records/record/…` is the page `records` with a path of its own behind it. */
function fromHash(): { readonly view: View; readonly path: readonly string[] } {
  const [first, ...path] = location.hash.slice(1).split("/");
  return { view: views.find(({ view }) => view === first)?.view ?? "set-up", path: path.map(decoded) };
}

function decoded(part: string): string {
  // Anybody can type an address.
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}

const start = fromHash();
export const view = signal<View>(start.view);
/** What stands behind the page's name in the address, for pages that have pages of their own. */
export const viewPath = signal<readonly string[]>(start.path);

addEventListener("hashchange", () => {
  const now = fromHash();
  batch(() => {
    view.value = now.view;
    viewPath.value = now.path;
  });
});
