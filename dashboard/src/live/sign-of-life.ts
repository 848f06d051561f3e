import { computed, effect } from "@preact/signals";
import { sendSignOfLife } from "./connection.js";
import { round, socketId } from "./workbench-store.js";

/** Five of them fit into the ten seconds after which the bench ends a light by itself. */
const everyMs = 2000;

const looksAtRound = computed(() => round.value?.light === "lit" && round.value.controller === socketId.value);

/** While this page is in sight and its person looks at a light of the walk-round, says so again and again; returns how to stop. */
export function giveSignsOfLife(): () => void {
  return effect(() => (looksAtRound.value ? signsOfLife("round:keep") : undefined));
}

/** Says again and again, while this page is in sight, that somebody looks at what is on; returns how to stop. */
export function signsOfLife(to: "round:keep" | "keep-driven:keep"): () => void {
  const timer = setInterval(() => {
    if (!document.hidden) sendSignOfLife(to);
  }, everyMs);
  return () => clearInterval(timer);
}
