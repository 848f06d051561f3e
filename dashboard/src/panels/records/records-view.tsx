import { useEffect, useRef } from "preact/hooks";
import { viewPath } from "../../view.js";
import { ComparePage } from "./compare-page.js";
import { MovePanel } from "./move-panel.js";
import { RecordPage } from "./record-page.js";
import { RecordsList } from "./records-list.js";
import { VerifyPanel } from "./verify-panel.js";
import "./records-view.css";

/** A further page of the records begins at its top, for the eye and for the keyboard. */
function useTopOnTurn(path: string): void {
  const before = useRef(path);
  useEffect(() => {
    if (before.current === path) return;
    before.current = path;
    scrollTo(0, 0);
    document.getElementById("content")?.focus({ preventScroll: true });
  }, [path]);
}

/** The shop's records: the list, one record, or all records of one vehicle or cable over time. */
export function RecordsView() {
  const [page, subject] = viewPath.value;
  useTopOnTurn(viewPath.value.join("/"));
  if (page === "record" && subject) return <RecordPage hash={subject} />;
  if (page === "compare" && subject) return <ComparePage serial={subject} />;
  return (
    <div class="records">
      <RecordsList />
      <VerifyPanel />
      <MovePanel />
    </div>
  );
}
