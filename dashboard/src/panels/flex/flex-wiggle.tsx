import type { Wiggle } from "@pinwalk/host/server/flex-watch/flex-watch-contract.js";
import { send } from "../../live/connection.js";

const ways: readonly { readonly how: Wiggle; readonly word: string }[] = [
  { how: "blink", word: "Interrupt it for 1 ms" },
  { how: "break", word: "Interrupt it for 120 ms" },
  { how: "burst", word: "Let it chatter" },
  { how: "strain", word: "Strain a crimp" },
];

/** The demo's hands: whoever has no cable can see what the watch does. */
export function FlexWiggle() {
  return (
    <section class="sheet simulated" aria-labelledby="flex-wiggle">
      <div class="sheet-head">
        <h2 id="flex-wiggle">Simulated cable: move it</h2>
        <p class="sheet-note">Only on the virtual bench</p>
      </div>
      <div class="switches">
        {ways.map(({ how, word }) => (
          <button key={how} type="button" class="button" onClick={() => void send("flex-watch:wiggle", { how })}>
            {word}
          </button>
        ))}
      </div>
    </section>
  );
}
