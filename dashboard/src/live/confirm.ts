import { signal } from "@preact/signals";

const storageKey = "pinwalk.sound";

function remembered(): boolean {
  // Reading storage throws where a browser forbids it; sound is then off.
  try {
    return localStorage.getItem(storageKey) === "on";
  } catch {
    return false;
  }
}

/** Whether this page makes sounds; a person turns them on. */
export const soundOn = signal(remembered());

export function turnSound(on: boolean): void {
  soundOn.value = on;
  try {
    localStorage.setItem(storageKey, on ? "on" : "off");
  } catch {
    // Not remembered; it is asked for again the next time.
  }
  if (on) playTone(880, 80);
}

let context: AudioContext | undefined;

/** A short tone, if sounds are on; a browser that has not seen a tap or a key yet stays silent. */
export function playTone(hertz: number, ms: number): void {
  if (!soundOn.value || typeof AudioContext === "undefined") return;
  context ??= new AudioContext();
  void context.resume();
  const tone = context.createOscillator();
  const loudness = context.createGain();
  const start = context.currentTime;
  const end = start + ms / 1000;
  tone.frequency.value = hertz;
  // A tone that is cut off clicks.
  loudness.gain.setValueAtTime(0.15, start);
  loudness.gain.exponentialRampToValueAtTime(0.001, end);
  tone.connect(loudness).connect(context.destination);
  tone.start(start);
  tone.stop(end);
}

/** A tap was taken: felt where the device can shake, heard where sounds are on. */
export function confirmTap(): void {
  if ("vibrate" in navigator) navigator.vibrate(25);
  playTone(660, 50);
}

/** An answer has arrived at the bench. */
export function confirmTaken(): void {
  if ("vibrate" in navigator) navigator.vibrate([35, 60, 35]);
  playTone(990, 110);
}
