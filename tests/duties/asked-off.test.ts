import { describe, expect, it } from "vitest";
import { Witness } from "./witness.js";

describe("in mid-drive", () => {
  it.each(["off", "restart"] as const)("%s takes everything off at once, not only when it is done", (name) => {
    const witness = new Witness(1);
    const { bench } = witness;
    witness.ask("roles", { used: 0xff, senseOnly: 0, ground: 0 });
    witness.run(5);
    witness.ask("arm", {});
    witness.run(60);
    witness.ask("hold", { channel: 2 });
    witness.run(30);
    expect(bench.outputs.last.driveMask).toBe(4);
    const { arrivedAtMs } = witness.ask(name, {});
    witness.run(400);
    const off = bench.outputs.entries.find(({ atMs, relayClosed }) => atMs > arrivedAtMs && !relayClosed);
    expect((off?.atMs ?? Number.NaN) - arrivedAtMs).toBeLessThan(2);
    expect(bench.outputs.last).toMatchObject({ relayClosed: false, driveMask: 0, lowMask: 0 });
  });
});
