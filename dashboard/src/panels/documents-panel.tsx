import type { WalkView } from "@pinwalk/host/server/contract.js";
import { bayBase } from "../live/bay.js";
import "./documents-panel.css";

/** The walk's documents, to keep or to send. */
export function DocumentsPanel({ walk }: { walk: WalkView }) {
  return (
    <section class="sheet documents" aria-labelledby="documents-title">
      <h2 id="documents-title">Take it with you</h2>
      <a class="button" href={`${bayBase}/documents/readings?walk=${walk.number}`} download>
        Readings (JSON)
      </a>
      {walk.end?.kind === "judged" && (
        <a class="button" href={`${bayBase}/documents/findings?walk=${walk.number}`} download>
          Findings (JSON)
        </a>
      )}
    </section>
  );
}
