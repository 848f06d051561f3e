import { checkRecordText } from "../../records/chain/check-record.js";
import { certificateView } from "../../records/report/certificate-view.js";
import type { SavedRecord } from "../../records/store/saved-record.js";
import type { RecordPageView } from "./records-contract.js";

/** One record as its page shows it; its seal is checked anew each time. */
export function recordPageView(saved: SavedRecord, sameSerial: number): RecordPageView {
  const { record, hash, summary, text, signature } = saved;
  const check = checkRecordText(text, hash, signature);
  const at = (name: string) => `/records/record/${hash}/${name}`;
  return {
    summary,
    certificate: certificateView({ record, hash, correctedBy: summary.correctedBy }),
    seal: check.holds ? { holds: true } : { holds: false, problem: check.problem },
    documents: [
      { title: "Certificate (PDF)", href: at("certificate.pdf"), opens: "file" },
      { title: "Printable page", href: at("page"), opens: "page" },
      { title: "Circuits (CSV)", href: at("circuits.csv"), opens: "file" },
      { title: "Record (JSON)", href: at("record.json"), opens: "file" },
      ...(summary.subjectKind === "cable"
        ? [{ title: "Cable label (PDF)", href: at("label.pdf"), opens: "file" as const }]
        : []),
    ],
    sameSerial,
  };
}
