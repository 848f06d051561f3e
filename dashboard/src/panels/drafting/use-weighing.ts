import { useEffect } from "preact/hooks";
import { weigh } from "../../live/drafting-requests.js";
import { link } from "../../live/workbench-store.js";
import { draft, weighFailure, weighing } from "./draft-desk.js";

/** Long enough for a word to be typed to its end, short enough to seem at once. */
const restMs = 180;

/** Has the host weigh the draft whenever it has changed; an answer to an earlier draft is not waited for. */
export function useWeighing(): void {
  const now = draft.value;
  const connected = link.value === "connected";
  useEffect(() => {
    if (!connected || weighing.peek()?.of === now) return;
    const given = new AbortController();
    const timer = setTimeout(
      async () => {
        const answer = await weigh(now, given.signal);
        if (given.signal.aborted) return;
        weighFailure.value = answer.ok ? null : answer.message;
        if (answer.ok) weighing.value = { of: now, weighed: answer.value };
      },
      weighing.peek() ? restMs : 0,
    );
    return () => {
      clearTimeout(timer);
      given.abort();
    };
  }, [now, connected]);
}
