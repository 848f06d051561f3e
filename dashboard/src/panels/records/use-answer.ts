import { useEffect, useState } from "preact/hooks";
import type { Answered } from "../../live/records-requests.js";

/** Asks whenever `about` changes; null until the answer to the present question is there. */
export function useAnswer<T>(ask: (about: string) => Promise<Answered<T>>, about: string): Answered<T> | null {
  const [known, setKnown] = useState<{ readonly about: string; readonly answer: Answered<T> } | null>(null);
  useEffect(() => {
    let wanted = true;
    void ask(about).then((answer) => {
      // An answer to an earlier question comes too late.
      if (wanted) setKnown({ about, answer });
    });
    return () => {
      wanted = false;
    };
  }, [ask, about]);
  return known?.about === about ? known.answer : null;
}
