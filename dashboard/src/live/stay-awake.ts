import { effect } from "@preact/signals";
import { goingOn } from "./bench-jobs.js";
import { inControl } from "./people.js";
import { keepScreenAwake } from "./wake-lock.js";

/** While the person here controls what goes on, a screen that falls asleep would end it. Returns how to stop. */
export function stayAwake(): () => void {
  return effect(() => {
    const job = goingOn.value;
    // The walk-round sees to its own screen, and says so where it cannot.
    if (job === null || (job !== "walk" && job.view === "walk-round") || !inControl.value) return;
    return keepScreenAwake();
  });
}
