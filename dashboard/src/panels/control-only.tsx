import type { ComponentChildren } from "preact";
import { mayNotBecause } from "../live/people.js";
import "./control-only.css";

/**
 * Around what only the one in control may press; for everybody else it is there to be seen. The banner at the top says why. The
 * server refuses it all the same.
 */
export function ControlOnly({ children }: { children: ComponentChildren }) {
  return (
    <fieldset class="control-only" disabled={mayNotBecause.value !== null}>
      {children}
    </fieldset>
  );
}
