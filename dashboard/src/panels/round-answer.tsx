import type { RoundView as State } from "@pinwalk/host/server/contract.js";
import { useEffect, useState } from "preact/hooks";
import { BulbIcon } from "../drawing/bulb-icon.js";
import { RearView } from "../drawing/rear-view.js";
import { confirmTaken, confirmTap } from "../live/confirm.js";
import { send } from "../live/connection.js";
import { keepScreenAwake } from "../live/wake-lock.js";
import { link, socketId } from "../live/workbench-store.js";
import { RoundFoot } from "./walk-round-foot.js";

/** One light: the drawing on which a person taps what is lit, and the other answers. */
export function RoundAnswer({ state }: { state: State }) {
  const [tapped, setTapped] = useState<ReadonlySet<string>>(new Set());
  const { step, light } = state;
  // Each light is a question of its own.
  useEffect(() => setTapped(new Set()), [step, light]);
  const own = state.controller === socketId.value && link.value === "connected";
  useEffect(() => (own ? keepScreenAwake() : undefined), [own]);
  const open = light === "lit" && own && state.state === "running";
  const answer = (lit: readonly string[] | null) => () =>
    void send("round:answer", { step, lit: lit && [...lit] }).then((ack) => {
      if (ack.ok) confirmTaken();
    });
  const toggle = (id: string) => {
    const next = new Set(tapped);
    if (!next.delete(id)) next.add(id);
    confirmTap();
    setTapped(next);
  };
  const words = wordsOf(state, own);
  return (
    <section class="sheet" aria-labelledby="round-now">
      <div class="round-head" role="status">
        <h2 id="round-now">{words.title}</h2>
        {step > 0 && (
          <p class="sheet-note">
            Light {step} of {state.steps}
          </p>
        )}
        <p class="round-more">{words.more}</p>
      </div>
      {words.again && (
        <div class="answers">
          <button type="button" class="button button-solid" onClick={() => void send("round:light", {})}>
            {words.again}
          </button>
        </div>
      )}
      <RearView
        lamps={state.lamps}
        label="The vehicle from behind: tap every lamp that is lit"
        filament={(lamp, { id, word }) => (
          <button
            key={id}
            type="button"
            class="filament"
            aria-pressed={tapped.has(id)}
            aria-label={`${lamp.name}: ${word}`}
            disabled={!open}
            onClick={() => toggle(id)}
          >
            <BulbIcon lit={tapped.has(id)} />
            {word}
          </button>
        )}
      />
      <div class="answers round-answers">
        <button
          type="button"
          class="button button-solid"
          disabled={!open || tapped.size === 0}
          onClick={answer([...tapped])}
        >
          {tapped.size > 1 ? "These are lit" : "This one is lit"}
        </button>
        <button type="button" class="button" disabled={!open || tapped.size > 0} onClick={answer([])}>
          None is lit
        </button>
        <button type="button" class="button" disabled={!open} onClick={answer(null)}>
          Not sure
        </button>
      </div>
      {own && state.state === "running" && <RoundFoot step={step} steps={state.steps} />}
    </section>
  );
}

interface Words {
  readonly title: string;
  readonly more: string;
  /** What the button says that lights the circuit again, or takes over. */
  readonly again: string | null;
}

function wordsOf({ light, darkBecause, state }: State, own: boolean): Words {
  if (state === "stopping") return { title: "Stopping", more: "Turning all outputs off.", again: null };
  if (light === "dark") {
    const more =
      darkBecause === "left"
        ? "The browser that answered is gone. All outputs are off."
        : "No sign of life came from the browser that answers. All outputs are off.";
    return { title: "The light is out", more, again: "Light it again, and answer here" };
  }
  if (!own) return { title: "Another browser answers", more: "You see what goes on there.", again: "Answer here" };
  if (light === "lit") return { title: "Which lamps are lit?", more: "Tap every one that you see lit.", again: null };
  if (light === "changing") return { title: "Next light", more: "One moment …", again: null };
  return { title: "Getting the bench ready", more: "Go behind the vehicle.", again: null };
}
