import { useRef } from "preact/hooks";
import { busy } from "../../live/bench-jobs.js";
import { checks } from "../../live/workbench-store.js";
import { ChecksPanel } from "../checks-panel.js";

/** The check list on the page where power is about to go on; it stays in sight when its last line is ticked. */
export function ChecksHere() {
  const wanted = useRef(false);
  const state = checks.value;
  if (busy.value || !state?.needed) wanted.current = false;
  else if (state.items.some(({ ticked }) => !ticked)) wanted.current = true;
  return wanted.current ? <ChecksPanel /> : null;
}
