import { useEffect, useRef } from "preact/hooks";

/**
 * Moves the focus to this heading when something ends while the page is looked at, so that who hears the page is told at once.
 * `turn` is another text whenever it turns; `ended` says whether that turn is an end.
 */
export function useFocusOnTurn(headingId: string, turn: string, ended: boolean): void {
  const before = useRef<string | null>(null);
  useEffect(() => {
    const went = before.current !== null && before.current !== turn;
    before.current = turn;
    // Only on the turn itself: whoever comes to the page later has not asked for anything.
    if (went && ended) document.getElementById(headingId)?.focus({ preventScroll: true });
  }, [headingId, turn, ended]);
}
