import type { CircuitFinding, Findings } from "../diagnosis/findings.js";
import type { Terminal } from "./terminal.js";
import { textTable } from "./text-table.js";

const overallWords: Readonly<Record<Findings["overall"], string>> = {
  pass: "PASS: every circuit is as the plan says.",
  fail: "FAIL: at least one circuit is not as the plan says.",
  unsure: "UNSURE: nothing is found wrong, but not everything could be judged.",
};

const overallColours = { pass: "green", fail: "red", unsure: "yellow" } as const;

const amps = (value: number | undefined): string => (value === undefined ? "-" : value.toFixed(2));

function row({ pin, function: does, expected, measured, verdict }: CircuitFinding): readonly string[] {
  const band = expected === undefined ? "-" : `${amps(expected.low)} to ${amps(expected.high)}`;
  return [
    pin,
    does,
    band,
    amps(measured?.amps),
    measured?.volts === undefined ? "-" : measured.volts.toFixed(2),
    verdict,
  ];
}

function section(title: string, lines: readonly string[]): readonly string[] {
  return lines.length === 0 ? [] : ["", title, ...lines.map((line) => `  ${line}`)];
}

const percent = (probability: number): string => `${Math.round(probability * 100)} %`;

/** Findings for a person: the verdict, a table of circuits, the reasons, what it may be, what to check next. */
export function findingsText(findings: Findings, { paint }: Pick<Terminal, "paint">): string {
  const verdictColumn = 5;
  const table = textTable(
    [
      { title: "Pin", align: "left" },
      { title: "Function", align: "left" },
      { title: "Expected A", align: "right" },
      { title: "Measured A", align: "right" },
      { title: "Volts", align: "right" },
      { title: "Verdict", align: "left" },
    ],
    findings.circuits.map(row),
    (cell, index, column) => {
      if (column !== verdictColumn) return cell;
      const verdict = findings.circuits[index]?.verdict;
      return paint(verdict === "pass" ? "green" : verdict === "not-judged" ? "yellow" : "red", cell);
    },
  );
  const remarkable = findings.circuits.filter(({ verdict }) => verdict !== "pass");
  return [
    paint(overallColours[findings.overall], overallWords[findings.overall]),
    "",
    table,
    ...section(
      "Why",
      remarkable.map(({ pin, verdict, reason }) => `${pin}, ${verdict}: ${reason}`),
    ),
    ...section(
      "What it may be",
      findings.groups.map(({ probability, text }) => `${percent(probability)}  ${text}`),
    ),
    ...section(
      "What to check next",
      findings.nextChecks.map(({ text }, index) => `${index + 1}. ${text}`),
    ),
    ...section(
      "Not judged",
      findings.notJudged.map(({ what, why }) => `${what}: ${why}`),
    ),
  ].join("\n");
}
