import { edit } from "./draft-desk.js";
import { fieldId } from "./draft-fields.js";
import type { Path } from "./draft-paths.js";

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
