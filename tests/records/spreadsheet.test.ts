import { circuitCsv } from "@pinwalk/host/records/report/circuit-csv.js";
import { csvCell, csvFile } from "@pinwalk/host/records/report/csv-cell.js";
import { describe, expect, it } from "vitest";
import { cableJob, emptyStore } from "./sample-job.js";

describe("A cell for a spreadsheet", () => {
  // The first signs that OWASP's page "CSV Injection" names, full-width forms too.
  it.each([
    "=1+1",
    "+1",
    "-1",
    "@SUM(A1)",
    "\t=1",
    "\r=1",
    "＝1+1",
    "＋1",
    "－1",
    "＠A1",
    "  =1",
    "\u200b=1",
    "|calc",
    "%0A",
  ])("keeps %j from being taken for a formula", (text) => {
    expect(csvCell(text).replace(/^"/, "")).toMatch(/^'/);
  });

  it("leaves numbers numbers, and quotes what would break a line or a column", () => {
    expect(csvCell(-1.5)).toBe("-1.5");
    expect(csvCell(Number.NaN)).toBe("");
    expect(csvCell('say "hi", twice')).toBe('"say ""hi"", twice"');
    expect(csvCell("two\nlines")).toBe('"two\nlines"');
    expect(csvCell("plain")).toBe("plain");
    expect(csvFile(["a"], [["x"]])).toBe("\uFEFFa\r\nx\r\n");
  });

  it("carries one line a circuit, with a hostile customer made harmless", async () => {
    const store = await emptyStore();
    const { hash } = await store.keep({ job: { ...cableJob, customer: '=HYPERLINK("http://x","Ann, Miller")' } });
    const lines = circuitCsv([await store.record(hash)])
      .trimEnd()
      .split("\r\n");
    expect(lines).toHaveLength(1 + cableJob.findings.circuits.length);
    expect(lines[1]).toContain(`"'=HYPERLINK(""http://x"",""Ann, Miller"")"`);
    const titles = lines[0]?.replace("\uFEFF", "").split(",") ?? [];
    const plainCells = lines[1]?.replace(/"([^"]|"")*"/g, "quoted").split(",") ?? [];
    expect(plainCells).toHaveLength(titles.length);
    expect(Number(plainCells[titles.indexOf("measured_amps")])).toBeCloseTo(0.266, 3);
    expect(plainCells[titles.indexOf("verdict")]).toBe("swapped");
  });
});
