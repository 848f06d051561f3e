import { signal } from "@preact/signals";
import { listenToGaps } from "./strips.js";

/** Off until a person turns it on; `mute` where this browser lets the page make no sound. */
export const alarm = signal<"off" | "on" | "mute">("off");

/** Interruptions that this page has seen happen; whoever shows that one has just been watches it. */
export const gapsSeen = signal(0);

const beepHertz = 880;
const beepSeconds = 0.07;
/** A contact that chatters gives a row of beeps, not one long tone. */
const leastPauseMs = 110;
const buzzMs = 60;

let context: AudioContext | undefined;
let lastBeepMs = 0;

/** Called from a press, for a browser lets nobody else make a sound. */
export async function turnAlarm(on: boolean): Promise<void> {
  if (!on) {
    alarm.value = "off";
    await context?.suspend();
    return;
  }
  alarm.value = "on";
  try {
    context ??= new AudioContext();
    await context.resume();
    if (context.state !== "running") alarm.value = "mute";
    else beep();
  } catch {
    alarm.value = "mute";
  }
}

/** Sounds and buzzes at every interruption from now on. */
export function watchForGaps(): void {
  listenToGaps((count) => {
    gapsSeen.value += count;
    const nowMs = performance.now();
    if (alarm.value === "off" || nowMs - lastBeepMs < leastPauseMs) return;
    lastBeepMs = nowMs;
    if (alarm.value === "on") beep();
    // Only where the device has it, and a person has asked for the alarm.
    navigator.vibrate?.(buzzMs);
  });
}

function beep(): void {
  if (!context) return;
  const tone = context.createOscillator();
  const loudness = context.createGain();
  const now = context.currentTime;
  tone.frequency.value = beepHertz;
  // A tone that is cut off clicks.
  loudness.gain.setValueAtTime(0.4, now);
  loudness.gain.exponentialRampToValueAtTime(0.001, now + beepSeconds);
  tone.connect(loudness).connect(context.destination);
  tone.start(now);
  tone.stop(now + beepSeconds);
}
