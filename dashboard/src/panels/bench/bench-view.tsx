import { viewPath } from "../../view.js";
import { ControlOnly } from "../control-only.js";
import { BaysPanel } from "./bays-panel.js";
import { BenchesFound } from "./benches-found.js";
import { CalibrationPage } from "./calibration-page.js";
import { CareDocuments } from "./care-documents.js";
import { SelfTestPage } from "./self-test-page.js";
import { SerialLogPage } from "./serial-log-page.js";
import "./bench-view.css";

const pages = [
  { page: "", title: "Benches" },
  { page: "self-test", title: "Self-test" },
  { page: "calibration", title: "Calibration" },
  { page: "line", title: "Serial line" },
] as const;

/** The benches of this computer and what keeps them fit: their own tests, their calibration, their line. */
export function BenchView() {
  const page = pages.find((row) => row.page === (viewPath.value[0] ?? ""))?.page ?? "";
  return (
    <div class="bench">
      <nav class="bench-pages" aria-label="Bench">
        {pages.map((row) => (
          <a
            key={row.page}
            href={row.page === "" ? "#bench" : `#bench/${row.page}`}
            aria-current={row.page === page ? "page" : undefined}
          >
            {row.title}
          </a>
        ))}
      </nav>
      {page === "" && (
        <ControlOnly>
          <BenchesFound />
        </ControlOnly>
      )}
      {page === "" && <BaysPanel />}
      {page === "self-test" && (
        <ControlOnly>
          <SelfTestPage />
        </ControlOnly>
      )}
      {page === "calibration" && (
        <ControlOnly>
          <CalibrationPage />
        </ControlOnly>
      )}
      {page === "line" && <SerialLogPage />}
      {page !== "line" && <CareDocuments of={page === "" ? "any" : page} />}
    </div>
  );
}
