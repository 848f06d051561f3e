import { signal } from "@preact/signals";
import type { ComponentType } from "preact";

/**
 * A part of a page whose code is fetched once the page stands, so that the first load stays light; `placeClass` holds its place
 * meanwhile. Without a connection to fetch it by, the place stays empty until the next try.
 */
export function fetchedPart<Props extends object>(
  load: () => Promise<ComponentType<Props>>,
  placeClass: string,
): ComponentType<Props> {
  const loaded = signal<ComponentType<Props> | null>(null);
  let asked = false;
  const fetchIt = () => {
    if (asked) return;
    asked = true;
    load().then(
      (part) => {
        loaded.value = part;
      },
      () => {
        asked = false;
      },
    );
  };
  // Soon enough to be there when somebody goes to the page that shows it.
  addEventListener("load", () => setTimeout(fetchIt, 1000), { once: true });
  return function Fetched(props: Props) {
    const Part = loaded.value;
    if (Part) return <Part {...props} />;
    fetchIt();
    return <div class={placeClass} />;
  };
}
