import { batch, signal } from "@preact/signals";

/** What a person is at, in the order of a job; the pages stand under these words. */
export const viewGroups = [
  { group: "prepare", title: "Prepare" },
  { group: "test", title: "Test" },
  { group: "keep", title: "Keep" },
  { group: "shop", title: "Shop" },
] as const;

interface ViewRow {
  readonly view: string;
  readonly title: string;
  readonly group: (typeof viewGroups)[number]["group"];
  /** The kind of plan that the page is for; it is left out of the list of pages while another kind is chosen. */
  readonly fits: "any" | "install" | "cable";
}

/** The pages of the dashboard, each at its own hash. A further page is one row here and one panel in app.tsx. */
export const views = [
  { view: "plan", title: "Plan", group: "prepare", fits: "any" },
  { view: "set-up", title: "Set up", group: "prepare", fits: "any" },
  { view: "find-wires", title: "Find wires", group: "prepare", fits: "any" },
  { view: "walk", title: "Walk", group: "test", fits: "any" },
  { view: "back-feed", title: "Back-feed", group: "test", fits: "install" },
  { view: "walk-round", title: "Walk-round", group: "test", fits: "install" },
  { view: "cable", title: "Cable check", group: "test", fits: "cable" },
  { view: "flex-watch", title: "Flex watch", group: "test", fits: "cable" },
  { view: "records", title: "Records", group: "keep", fits: "any" },
  { view: "bench", title: "Bench", group: "shop", fits: "any" },
  { view: "people", title: "People", group: "shop", fits: "any" },
] as const satisfies readonly ViewRow[];

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
