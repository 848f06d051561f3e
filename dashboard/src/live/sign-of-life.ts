import { computed, effect } from "@preact/signals";
import { sendSignOfLife } from "./connection.js";
import { keepDriven, round, socketId } from "./workbench-store.js";

/** Five of them fit into the ten seconds after which the bench ends a light by itself. */
const everyMs = 2000;

/** What this page's person looks at while it is on, by the command that keeps it so. */
const lookedAt = computed(() => {
  if (round.value?.light === "lit" && round.value.controller === socketId.value) return "round:keep";
  if (keepDriven.value?.driven && keepDriven.value.holder === socketId.value) return "keep-driven:keep";
  return null;
});

/** While this page is in sight and its person looks at something that is on, says so again and again; returns how to stop. */
export function giveSignsOfLife(): () => void {
  return effect(() => {
    const to = lookedAt.value;
    if (to === null) return;
    const timer = setInterval(() => {
      if (!document.hidden) sendSignOfLife(to);
    }, everyMs);
    return () => clearInterval(timer);
  });
}
