import type { RemarkView } from "@pinwalk/host/server/contract.js";
import type { Tone } from "./verdict-words.js";

interface SeverityWords {
  readonly word: string;
  readonly many: string;
  readonly tone: Tone | "warning";
}

/** How much a remark about a plan weighs: each with a word and an icon of its own. */
export const severityWords: Readonly<Record<RemarkView["severity"], SeverityWords>> = {
  problem: { word: "Problem", many: "problems", tone: "fail" },
  warning: { word: "Warning", many: "warnings", tone: "warning" },
  note: { word: "Note", many: "notes", tone: "none" },
};

/** `2 problems, 1 warning`; notes are not counted. */
export function remarkCount(remarks: readonly RemarkView[]): string {
  const counts = (["problem", "warning"] as const).flatMap((severity) => {
    const count = remarks.filter((remark) => remark.severity === severity).length;
    if (count === 0) return [];
    return [count === 1 ? `1 ${severity}` : `${count} ${severityWords[severity].many}`];
  });
  return counts.length === 0 ? "no problem, no warning" : counts.join(", ");
}
