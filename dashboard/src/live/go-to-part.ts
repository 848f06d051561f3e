import { type View, view } from "../view.js";

/** Goes to a page and there to the part under this heading, with the focus, so that keys and screen readers follow. */
export function goToPart(page: View, headingId?: string): void {
  if (view.value !== page) location.hash = `#${page}`;
  if (headingId === undefined) return;
  // The page is drawn after the address has changed.
  let frames = 10;
  const look = () => {
    const heading = document.getElementById(headingId);
    if (!heading && frames-- > 0) requestAnimationFrame(look);
    if (!heading) return;
    heading.tabIndex = -1;
    heading.focus({ preventScroll: true });
    heading.scrollIntoView({ block: "start" });
  };
  requestAnimationFrame(look);
}
