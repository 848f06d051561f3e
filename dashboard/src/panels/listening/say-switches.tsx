import type { ListeningView } from "@pinwalk/host/server/listening/listening-contract.js";
import { useState } from "preact/hooks";
import { send } from "../../live/connection.js";

/** Where the person says what they switch in the vehicle: from that follows which function the wire carries. */
export function SaySwitches({ state }: { state: ListeningView }) {
  const [own, setOwn] = useState("");
  const say = (name: string, on: boolean) => void send("listening:said", { name, on });
  return (
    <section class="sheet" aria-labelledby="say-title">
      <div class="sheet-head">
        <h2 id="say-title">Say what you switch</h2>
        <p class="sheet-note">
          Press as you switch it on, and again as you switch it off: each alone, a few seconds long
        </p>
      </div>
      <div class="switches">
        {state.said.map(({ name, text, on }) => (
          <button key={name} type="button" class="button" aria-pressed={on} onClick={() => say(name, !on)}>
            {text}: {on ? "on" : "off"}
          </button>
        ))}
      </div>
      <form
        class="say-own"
        onSubmit={(event) => {
          event.preventDefault();
          const name = own.trim().toLowerCase();
          if (name === "") return;
          say(name, true);
          setOwn("");
        }}
      >
        <div class="field">
          <label for="say-own">Something else</label>
          <input
            id="say-own"
            maxLength={40}
            pattern="\s*[\p{L}\p{N}][\p{L}\p{N} \-]*"
            title="Letters, digits, blanks and hyphens"
            autoComplete="off"
            value={own}
            onInput={(event) => setOwn(event.currentTarget.value)}
          />
        </div>
        <button type="submit" class="button" disabled={own.trim() === ""}>
          It is on now
        </button>
      </form>
    </section>
  );
}
