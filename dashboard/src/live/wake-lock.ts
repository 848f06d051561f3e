import { signal } from "@preact/signals";

/** Whether the screen is kept on. `unable`: this browser does not do it here, so the person has to see to it. */
export const screenAwake = signal<"off" | "on" | "unable">("off");

/** Keeps the screen on, also after the page was out of sight for a while; returns how to let it go dark again. */
export function keepScreenAwake(): () => void {
  let wanted = true;
  let lock: WakeLockSentinel | undefined;
  const ask = () => {
    if (!wanted || document.hidden) return;
    if (!("wakeLock" in navigator)) {
      // Browsers give it to pages that came over a safe way only.
      screenAwake.value = "unable";
      return;
    }
    navigator.wakeLock.request("screen").then(
      (held) => {
        if (!wanted) return void held.release();
        lock = held;
        screenAwake.value = "on";
      },
      () => {
        // Refused, for instance to save the battery.
        if (wanted) screenAwake.value = "unable";
      },
    );
  };
  ask();
  // The browser takes it back whenever the page goes out of sight.
  document.addEventListener("visibilitychange", ask);
  return () => {
    wanted = false;
    document.removeEventListener("visibilitychange", ask);
    void lock?.release().catch(() => undefined);
    screenAwake.value = "off";
  };
}
