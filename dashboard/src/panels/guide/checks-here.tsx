import { busy } from "../../live/bench-jobs.js";
import { checks } from "../../live/workbench-store.js";
import { ChecksPanel } from "../checks-panel.js";

/** The check list on the page where power is about to go on, as long as something on it is not ticked. */
export function ChecksHere() {
  const state = checks.value;
  const wanting = !busy.value && state?.needed && state.items.some(({ ticked }) => !ticked);
  return wanting ? <ChecksPanel /> : null;
}
