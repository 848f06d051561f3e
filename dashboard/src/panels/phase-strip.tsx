import type { WalkView } from "@pinwalk/host/server/contract.js";
import { phaseWords } from "../words/phase-words.js";
import "./phase-strip.css";

/** The phases of a walk, which are done, and how far the present one is. */
export function PhaseStrip({ walk }: { walk: WalkView }) {
  const present = phaseWords.findIndex((row) => row.phase === walk.phase);
  const over = walk.state === "ended" && walk.end?.kind === "judged";
  return (
    <ol class="phases" aria-label="Phases of the walk">
      {phaseWords.map((row, index) => {
        const done = walk.state !== "idle" && (over || index < present);
        const now = index === present && (walk.state === "running" || walk.state === "stopping");
        const reached = index === present && walk.state === "ended" && !over;
        const state = done ? "done" : now ? "now" : reached ? "ended here" : "to come";
        return (
          <li key={row.phase} class={`phase phase-${state.replace(" ", "-")}`} aria-current={now ? "step" : undefined}>
            <span class="phase-word">{row.word}</span>
            <span class="phase-short" aria-hidden="true">
              {row.short}
            </span>
            <span class="phase-state">{now && walk.steps > 1 ? `${walk.step} of ${walk.steps}` : state}</span>
            <span class="phase-bar" style={{ width: `${done ? 100 : now ? share(walk) : 0}%` }} />
          </li>
        );
      })}
    </ol>
  );
}

function share(walk: WalkView): number {
  return walk.steps > 0 ? Math.max(6, ((walk.step - 0.5) / walk.steps) * 100) : 6;
}
