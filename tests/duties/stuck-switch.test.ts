import { describe, expect, it } from "vitest";
import { Witness } from "./witness.js";

describe("a switch that conducts though it is off", () => {
  it.each([0, 1, 2, 3, 4, 5, 6, 7])("is found at arming on channel %i, and the relay opens again", (channel) => {
    const witness = new Witness(channel);
    witness.ask("roles", { used: 0xff, senseOnly: 0, ground: 0 });
    witness.run(5);
    witness.happen({ kind: "arm-stuck", channel, waitMs: 20 });
    expect(witness.armedStuck).toMatchObject([{ channel, answer: "stuck" }]);
    expect(witness.bench.outputs.last).toMatchObject({ relayClosed: false, driveMask: 0, lowMask: 0 });
    const closed = witness.bench.outputs.entries.filter(({ relayClosed }) => relayClosed);
    // It has to be closed to find out: for the relay to settle, and for one look at every pin.
    expect(closed.length).toBeGreaterThan(0);
    const [opened] = witness.bench.outputs.entries.filter(
      ({ atMs, relayClosed }) => !relayClosed && atMs > (closed[0]?.atMs ?? 0),
    );
    expect((opened?.atMs ?? Number.NaN) - (closed[0]?.atMs ?? 0)).toBeLessThan(40);
  });
});
