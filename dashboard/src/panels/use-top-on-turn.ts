import { useEffect } from "preact/hooks";

/** What has begun and how it has ended are at the top; whoever has scrolled away is brought back to them. */
export function useTopOnTurn(turn: string): void {
  useEffect(() => {
    if (turn !== "") scrollTo(0, 0);
  }, [turn]);
}
