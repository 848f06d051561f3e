import type { PlanView } from "@pinwalk/host/server/contract.js";
import { WiringDrawing } from "../drawing/wiring-drawing.js";
import { WiringWords } from "../drawing/wiring-words.js";
import { chosenPlan } from "../live/workbench-store.js";

/** The wiring of a plan, the chosen one unless told: as a drawing, and the same in words. */
export function WiringPanel({ plan = chosenPlan.value }: { plan?: PlanView | null }) {
  if (!plan) return null;
  return (
    <section class="sheet" aria-labelledby="wiring-title">
      <div class="sheet-head">
        <h2 id="wiring-title">Wiring</h2>
        <p class="sheet-note">A dot is a splice; lines that cross without one are not joined.</p>
      </div>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls has to be reached with the keyboard */}
      <section class="wiring-box" tabIndex={0} aria-label="Wiring drawing">
        <WiringDrawing wiring={plan.wiring} />
      </section>
      <details class="fold">
        <summary>The wiring in words</summary>
        <WiringWords wiring={plan.wiring} />
      </details>
    </section>
  );
}
