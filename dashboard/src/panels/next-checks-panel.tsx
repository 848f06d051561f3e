import type { Findings } from "@pinwalk/host/diagnosis/findings.js";
import { useRef, useState } from "preact/hooks";
import { ToneIcon } from "../drawing/icons.js";
import { busy } from "../live/bench-jobs.js";
import { confirmTaken } from "../live/confirm.js";
import { send } from "../live/connection.js";
import { keepDriven, link, nextCheck } from "../live/workbench-store.js";
import { percentText } from "../words/probability-words.js";
import { GivenAnswers } from "./given-answers.js";
import { KeepDriven, KeepDrivenHindrance } from "./keep-driven.js";
import { Refusal } from "./refusal.js";
import "./next-checks-panel.css";

type NextCheck = Findings["nextChecks"][number];

/**
 * The looks, touches and measurements that would tell the explanations apart best, the most useful first, each with what may
 * come of it to be tapped. An answer changes the ranking, until one group is left.
 */
export function NextChecksPanel({ findings }: { findings: Findings }) {
  const heading = useRef<HTMLHeadingElement>(null);
  const [asked, setAsked] = useState(false);
  const state = nextCheck.value;
  const checks = findings.nextChecks;
  // An answer is what a pin is kept driven for, and ends it.
  const driven = keepDriven.value?.state === "running";
  if (checks.length === 0 && (state?.history.length ?? 0) === 0 && state?.end?.kind !== "cannot-tell") return null;
  const answer = (check: NextCheck, what: string) => {
    setAsked(true);
    void send("next-check:answer", { check: check.check, answer: what }).then((ack) => {
      setAsked(false);
      if (!ack.ok) return;
      confirmTaken();
      // The question has gone; what follows from the answer is read next.
      heading.current?.focus();
    });
  };
  return (
    <section class="sheet" aria-labelledby="next-checks-title">
      <div class="sheet-head">
        <h2 id="next-checks-title" ref={heading} tabIndex={-1}>
          {state?.end?.kind === "one-group"
            ? "Found out"
            : checks.length > 0
              ? "Look at this first"
              : "What came of it"}
        </h2>
        {asked && <p class="sheet-note">Weighing the answer …</p>}
      </div>
      <Standing />
      <KeepDrivenHindrance />
      <ol>
        {checks.map((check, index) => (
          <Check
            key={JSON.stringify(check.check)}
            check={check}
            rank={index + 1}
            closed={asked || (busy.value && !driven) || link.value !== "connected"}
            onAnswer={(what) => answer(check, what)}
          />
        ))}
      </ol>
      <Refusal of={["next-check:answer", "next-check:undo", "keep-driven:start", "keep-driven:off"]} />
      {state && <GivenAnswers history={state.history} closed={asked || busy.value} />}
    </section>
  );
}

/** Whether one group is left, or why no check would lead there. */
function Standing() {
  const end = nextCheck.value?.end;
  if (!end || end.kind === "asking") return null;
  const one = end.kind !== "cannot-tell";
  return (
    <div class={`standing-group tone-${one ? "pass" : "unsure"}`} role="status">
      <ToneIcon tone={one ? "pass" : "unsure"} size={26} />
      <p>
        {one ? (
          <>
            One group of explanations is left: <strong>{end.text}</strong>.{" "}
            {end.kind === "narrowing"
              ? "Mend it, or go on below to find out where in it."
              : "Mend it, then measure every pin again."}
          </>
        ) : (
          end.text
        )}
      </p>
    </div>
  );
}

interface CheckProps {
  readonly check: NextCheck;
  readonly rank: number;
  readonly closed: boolean;
  readonly onAnswer: (answer: string) => void;
}

function Check({ check, rank, closed, onAnswer }: CheckProps) {
  const id = `next-check-${rank}`;
  return (
    <li class="next-check">
      <b>{rank}</b>
      <div>
        <p id={id} class="next-check-text">
          {check.text}
        </p>
        <p class="sheet-note">{worth(check)}</p>
        <KeepDriven check={check.check} labelledBy={id} />
        <Outcomes check={check} labelledBy={id} closed={closed} onAnswer={onAnswer} />
        {"walkRound" in check.check && (
          <a class="button set-off" href="#walk-round">
            Go to Walk-round
          </a>
        )}
        {"switch" in check.check && (
          <a class="button set-off" href="#back-feed">
            Go to Back-feed
          </a>
        )}
      </div>
    </li>
  );
}

/** How far the answer narrows things down: one bit settles a question between two that are equally likely. */
function worth({ bits, minutes }: NextCheck): string {
  const tells = bits >= 0.7 ? "Tells much" : bits >= 0.3 ? "Tells something" : "Tells little";
  const figure = `${tells} (${bits.toFixed(2)} bits)`;
  return minutes === undefined ? `${figure}.` : `${figure}, takes about ${minutes}\u00a0min.`;
}

interface OutcomesProps extends Omit<CheckProps, "rank"> {
  readonly labelledBy: string;
}

function Outcomes({ check: { outcomes = [] }, labelledBy, closed, onAnswer }: OutcomesProps) {
  if (outcomes.length < 2) return null;
  const likeliest = [...outcomes].sort((one, other) => other.chance - one.chance);
  return (
    <fieldset class="outcomes" aria-labelledby={labelledBy}>
      {likeliest.map((row) => (
        <button key={row.answer} type="button" class="button" disabled={closed} onClick={() => onAnswer(row.answer)}>
          <span>{row.text}</span>
          <small>{percentText(row.chance)}</small>
        </button>
      ))}
    </fieldset>
  );
}
