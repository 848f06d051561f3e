import { describe, expect, it } from "vitest";
import { AskedBench } from "./asked-bench.js";

describe("the greeting after a reset", () => {
  it.each([0.1, 0.7, 1.3, 2.2])("is a line of its own, %f ms into another that it has cut", (intoLineMs) => {
    const bench = AskedBench.start();
    const { measurement } = bench.get("rest", {});
    bench.pushes.length = 0;
    bench.send("volts", { measurement, side: "near" });
    // Not a whole millisecond at a time: the reset has to come while the answer is under way.
    const from = bench.nowMs;
    let said = 0;
    while (said === 0 && bench.nowMs < from + 20) {
      bench.machine.runForMs(0.05);
      said = bench.machine.takeSent().length;
    }
    expect(said).toBeGreaterThan(0);
    bench.machine.runForMs(intoLineMs);
    bench.machine.reset("external");
    bench.machine.runForMs(60);
    const text = Buffer.from(bench.machine.takeSent()).toString("latin1");
    const lines = text.split("\n");
    // The rest of the answer's beginning, nothing, or what was left of it; then the greeting alone.
    expect(lines.filter((line) => line.startsWith("~hello 2 "))).toHaveLength(1);
    expect(lines[0]).not.toContain("~hello");
  });
});
