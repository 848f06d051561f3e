import { lookedAt } from "../live/start-walk.js";
import { chosenPlan, nextCheck, walk, walking } from "../live/workbench-store.js";
import { type Tone, verdictWords } from "../words/verdict-words.js";
import { CircuitsTable } from "./circuits-table.js";
import { ConnectorPanel } from "./connector-panel.js";
import { ControlOnly } from "./control-only.js";
import { CurrentPanel } from "./current-panel.js";
import { DocumentsPanel } from "./documents-panel.js";
import { ExplanationsPanel } from "./explanations-panel.js";
import { ChecksHere } from "./guide/checks-here.js";
import { NextChecksPanel } from "./next-checks-panel.js";
import { NotJudgedPanel } from "./not-judged-panel.js";
import { PhaseStrip } from "./phase-strip.js";
import { KeepPanel } from "./records/keep-panel.js";
import { useFocusOnTurn } from "./use-focus-on-turn.js";
import { useTopOnTurn } from "./use-top-on-turn.js";
import { VerdictBanner } from "./verdict-banner.js";
import "./walk-view.css";

/** One walk, from the first pin to the verdict. */
export function WalkView() {
  const state = walk.value;
  const plan = chosenPlan.value;
  const turn = `${state?.number} ${state?.end?.kind}`;
  useTopOnTurn(turn);
  useFocusOnTurn("verdict-word", turn, (state?.end ?? null) !== null);
  if (!state || !plan) return <NoPlan />;
  const findings = state.end?.kind === "judged" ? state.end.findings : null;
  const tones: Record<string, Tone> = {};
  for (const circuit of findings?.circuits ?? []) tones[circuit.pin] = verdictWords[circuit.verdict].tone;
  const firstWrong = findings?.circuits.find((circuit) => tones[circuit.pin] === "fail")?.pin;
  const lit = walking.value ? state.pin : null;
  const shown = (walking.value ? state.pin : lookedAt.value) ?? firstWrong ?? plan.expected[0]?.pin ?? null;
  const circuits = <CircuitsTable plan={plan} walk={state} findings={findings} />;
  return (
    <div class={`walk${findings ? " walk-judged" : ""}`}>
      {state.end && <VerdictBanner end={state.end} planName={state.planName} benchName={state.benchName} />}
      {!findings && <PhaseStrip walk={state} />}
      {findings && circuits}
      {findings && (
        <ControlOnly>
          <NextChecksPanel findings={findings} />
          {nextCheck.value && nextCheck.value.toDrive.length > 0 && <ChecksHere />}
        </ControlOnly>
      )}
      {findings && <ExplanationsPanel findings={findings} />}
      <div class="stage">
        <section class="sheet" aria-label="Connector">
          <ConnectorPanel
            plan={plan}
            lit={lit}
            tones={tones}
            chosenPin={shown}
            {...(walking.value ? {} : { onChoose: (pin: string) => (lookedAt.value = pin) })}
          />
        </section>
        <CurrentPanel plan={plan} walk={state} findings={findings} pin={shown} />
      </div>
      {!findings && circuits}
      {findings && <NotJudgedPanel findings={findings} />}
      {findings && (
        <ControlOnly>
          <KeepPanel walkNumber={state.number} planName={plan.name} cable={plan.kind === "cable"} />
        </ControlOnly>
      )}
      {state.hasReadings && <DocumentsPanel walk={state} />}
    </div>
  );
}

function NoPlan() {
  return (
    <section class="sheet" aria-labelledby="no-walk">
      <div class="empty">
        <h2 id="no-walk">Nothing to walk yet</h2>
        <p>Choose a bench and a plan first. Then start the walk from the bar below.</p>
        <a class="button" href="#set-up">
          Go to Set up
        </a>
      </div>
    </section>
  );
}
