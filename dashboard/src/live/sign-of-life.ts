import { computed, effect } from "@preact/signals";
import { sendSignOfLife } from "./connection.js";
import { round, socketId } from "./workbench-store.js";

/** Five of them fit into the ten seconds after which the bench ends a light by itself. */
const everyMs = 2000;

/** Whether this page is the one whose person looks at a light that is on. */
const looking = computed(() => round.value?.light === "lit" && round.value.controller === socketId.value);

/** While this page is in sight and its person looks at a light, says so again and again; returns how to stop. */
export function giveSignsOfLife(): () => void {
  return effect(() => {
    if (!looking.value) return;
    const timer = setInterval(() => {
      if (!document.hidden) sendSignOfLife();
    }, everyMs);
    return () => clearInterval(timer);
  });
}
