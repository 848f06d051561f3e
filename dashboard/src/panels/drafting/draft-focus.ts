import { edit } from "./draft-desk.js";
import { fieldId } from "./draft-fields.js";
import { type Path, pathOfText } from "./draft-paths.js";

/** Puts the person at a field that the next drawing of the page brings. */
export function focusSoon(path: Path): void {
  focusOn(fieldId(path));
}

/** Takes an entry out. Its button goes with it, so the keyboard goes on at the heading of the list. */
export function removeAt(path: Path, headingId: string): void {
  edit(path, undefined);
  focusOn(headingId);
}

function focusOn(id: string): void {
  setTimeout(() => document.getElementById(id)?.focus());
}

/** The heading of the page. */
export const headId = "draft-head";

const headings: Readonly<Record<string, string>> = {
  circuits: "circuits-title",
  sockets: "sockets-title",
  conductors: "conductors-title",
  ground: "ground-title",
};

/** Puts the person at the field that a path belongs to, or at the nearest place around it. */
export function goToProblem(path: string): void {
  const field = fieldAround(path);
  for (let around = field?.closest("details"); around; around = around.parentElement?.closest("details") ?? null)
    around.open = true;
  if (field) field.focus();
  else focusHeading(path);
}

function fieldAround(path: string): HTMLElement | null {
  for (let at = path; ; at = at.replace(/(\.[^.[\]]+|\[\d+\])$/, "")) {
    const field =
      document.getElementById(`${fieldId([])}${at}`) ??
      document.querySelector(`[id^="${CSS.escape(`${fieldId([])}${at}.`)}"]`);
    if (field instanceof HTMLElement) return field;
    if (!/[.[\]]/.test(at)) return null;
  }
}

function focusHeading(path: string): void {
  const first = String(pathOfText(path)[0]);
  const heading = document.getElementById((Object.hasOwn(headings, first) ? headings[first] : undefined) ?? headId);
  if (!heading) return;
  heading.tabIndex = -1;
  heading.focus();
}
