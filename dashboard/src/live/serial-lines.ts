import type { SerialLineView, SerialLogView } from "@pinwalk/host/server/bench-care/bench-care-contract.js";
import { useEffect, useRef, useState } from "preact/hooks";

/** Often enough to follow a walk, seldom enough to cost it nothing. */
const everyMs = 500;
const mostKept = 2000;

interface SerialLines {
  readonly lines: readonly SerialLineView[];
  readonly held: boolean;
  readonly hold: (held: boolean) => void;
  /** Why nothing comes, if so. */
  readonly problem: string | null;
}

/** The lines of the serial log while a page shows them. Held still, the page rests; going on, it catches up. */
export function useSerialLines(): SerialLines {
  const [lines, setLines] = useState<readonly SerialLineView[]>([]);
  const [held, hold] = useState(false);
  const [problem, setProblem] = useState<string | null>(null);
  const after = useRef(0);
  useEffect(() => {
    if (held) return;
    let wanted = true;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const look = async () => {
      const answer = await fetch(`/bench-care/serial?after=${after.current}`)
        .then(async (response) => (response.ok ? ((await response.json()) as SerialLogView) : null))
        .catch(() => null);
      if (!wanted) return;
      setProblem(answer ? null : "The computer at the bench does not answer.");
      if (answer && answer.lines.length > 0) {
        after.current = answer.last;
        setLines((before) => [...before, ...answer.lines].slice(-mostKept));
      }
      // The server was started anew: its lines are counted from 1 again.
      if (answer && answer.last < after.current) after.current = 0;
      timer = setTimeout(() => void look(), everyMs);
    };
    void look();
    return () => {
      wanted = false;
      clearTimeout(timer);
    };
  }, [held]);
  return { lines, held, hold, problem };
}
