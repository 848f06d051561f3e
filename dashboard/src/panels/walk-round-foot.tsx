import { soundOn, turnSound } from "../live/confirm.js";
import { send } from "../live/connection.js";
import { screenAwake } from "../live/wake-lock.js";

/** Below the drawing: enough is enough, and what this phone does to help. */
export function RoundFoot({ step, steps }: { step: number; steps: number }) {
  return (
    <div class="round-foot">
      <button type="button" class="button" onClick={() => void send("round:finish", {})}>
        That is enough
      </button>
      <label class="round-sound">
        <input type="checkbox" checked={soundOn.value} onChange={(event) => turnSound(event.currentTarget.checked)} />
        Sound on each tap
      </label>
      <p class="sheet-note">
        {step <= 1 && steps > 1
          ? "Before the first answer, ending adds nothing. "
          : "What was answered counts, the rest is not judged. "}
        {screenAwake.value === "unable" &&
          "This browser cannot keep the screen on here: set the phone so that it stays on for a while."}
      </p>
    </div>
  );
}
