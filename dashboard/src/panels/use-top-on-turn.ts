import { useEffect, useRef } from "preact/hooks";

/** What has begun and how it has ended are at the top; whoever has scrolled away is brought back to them. */
export function useTopOnTurn(turn: string): void {
  const before = useRef(turn);
  useEffect(() => {
    // Only on the turn itself: whoever was led to a part of the page stays there.
    if (before.current !== turn) scrollTo(0, 0);
    before.current = turn;
  }, [turn]);
}
