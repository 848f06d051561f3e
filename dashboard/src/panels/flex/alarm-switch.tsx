import { alarm, turnAlarm } from "../../live/gap-alarm.js";

/** Sound and buzz at every interruption. A browser allows them only after a press, so they begin off. */
export function AlarmSwitch() {
  const on = alarm.value !== "off";
  return (
    <>
      <button type="button" class="button alarm-switch" aria-pressed={on} onClick={() => void turnAlarm(!on)}>
        {on ? "Alarm on" : "Alarm off"}
        <span class="said-only"> at interruptions: sound, and vibration where the device has it</span>
      </button>
      {alarm.value === "mute" && (
        <p class="sheet-note" role="status">
          This browser lets the page make no sound. Watch the count.
        </p>
      )}
    </>
  );
}
