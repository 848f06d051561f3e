import { viewPath } from "../../view.js";
import { ComparePage } from "./compare-page.js";
import { RecordPage } from "./record-page.js";
import { RecordsList } from "./records-list.js";
import { VerifyPanel } from "./verify-panel.js";
import "./records-view.css";

/** The shop's records: the list, one record, or all records of one vehicle or cable over time. */
export function RecordsView() {
  const [page, subject] = viewPath.value;
  if (page === "record" && subject) return <RecordPage hash={subject} />;
  if (page === "compare" && subject) return <ComparePage serial={subject} />;
  return (
    <div class="records">
      <RecordsList />
      <VerifyPanel />
    </div>
  );
}
