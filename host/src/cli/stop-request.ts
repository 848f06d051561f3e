/** Why a command is asked to stop in the middle of its work. */
export type StopReason =
  | { readonly kind: "signal"; readonly signal: string }
  | { readonly kind: "crash"; readonly error: unknown };

const signals = ["SIGINT", "SIGTERM", "SIGHUP"] as const;

/**
 * Calls `stop` at Ctrl-C, at a polite kill, when the terminal goes away, and when the program itself stumbles: each must
 * turn the outputs off before the process ends. Later signals are swallowed while that goes on; the bench's own
 * second of silence is the last resort. Returns the function that takes the listeners away again.
 */
export function onStopRequest(stop: (reason: StopReason) => void): () => void {
  const bySignal = signals.map((signal) => ({ signal, listener: () => stop({ kind: "signal", signal }) }));
  const byCrash = (error: unknown): void => stop({ kind: "crash", error });
  for (const { signal, listener } of bySignal) process.on(signal, listener);
  process.on("uncaughtException", byCrash);
  process.on("unhandledRejection", byCrash);
  return () => {
    for (const { signal, listener } of bySignal) process.off(signal, listener);
    process.off("uncaughtException", byCrash);
    process.off("unhandledRejection", byCrash);
  };
}
