import { signal } from "@preact/signals";
import { busy } from "./bench-jobs.js";
import { send } from "./connection.js";

/** The pin whose measurement is shown when no pin is under test; null follows the walk. */
export const lookedAt = signal<string | null>(null);

export function startWalk(): void {
  lookedAt.value = null;
  void send("walk:start", {}).then((answer) => {
    if (answer.ok) location.hash = "#walk";
  });
}

/** Stops whatever goes on with the bench. */
export function stopWalk(): void {
  void send("walk:stop", {});
}

/** Escape stops whatever goes on from anywhere on the page. */
export function stopOnEscape(event: KeyboardEvent): void {
  if (event.key !== "Escape" || !busy.value) return;
  event.preventDefault();
  stopWalk();
}
