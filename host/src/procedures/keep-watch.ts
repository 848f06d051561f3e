import { timing } from "@pinwalk/firmware-protocol/generated/protocol.js";
import type { BenchSession } from "../bench/bench-session.js";

/** Half of what lets a watch end. */
const keepEveryMs = timing.keepMs / 2;

/** Tells the bench again and again that somebody still follows its watch; returns how to stop. */
export function keepWatch(session: BenchSession): () => void {
  const { clock } = session.port;
  let timer = clock.after(keepEveryMs, again);
  function again(): void {
    // A bench that is lost is heard of by whoever waits for the watch.
    session.keep().catch(() => undefined);
    timer = clock.after(keepEveryMs, again);
  }
  return () => timer.cancel();
}
