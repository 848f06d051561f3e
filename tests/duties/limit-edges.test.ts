import { describe, expect, it } from "vitest";
import { Witness } from "./witness.js";

const SUPPLY_VOLTS = 12.8;
const SOURCE_OHMS = 0.1;
/** What the bench may be wrong by: 1 % of the reading and two counts of the converter. */
const UNSURE = { relative: 0.01, amps: 0.02 };

/** How a drive into a load that draws so many amps ends. */
function endAt(amps: number, tripAmps: number, tripMs: number): string {
  const witness = new Witness(1);
  const settings = { tripTime: tripMs, supplyMin: 6_000, supplyMax: 16_000, cool: 2_000 };
  witness.ask("limits", { ...settings, trip: Math.round(tripAmps * 1000) });
  witness.run(5);
  witness.ask("roles", { used: 0xff, senseOnly: 0, ground: 0 });
  witness.run(5);
  witness.happen({ kind: "load", channel: 1, ohms: SUPPLY_VOLTS / amps - SOURCE_OHMS, waitMs: 0 });
  witness.ask("arm", {});
  witness.run(60);
  witness.ask("drive", { channel: 1, most: 600 });
  witness.run(700);
  const ended = witness.pushes.find(({ push }) => push.name === "ended")?.push;
  return ended?.name === "ended" ? ended.fields.end : "not at all";
}

describe("the slow limit", () => {
  it.each([
    [10, 100],
    [10, 10],
    [3, 20],
    [0.5, 1],
  ])("of %f A and %i ms lets pass what is just under it and ends what is just over it", (tripAmps, tripMs) => {
    const unsure = UNSURE.relative * tripAmps + UNSURE.amps;
    expect(endAt(tripAmps - unsure, tripAmps, tripMs)).toBe("settled");
    expect(endAt(tripAmps + unsure, tripAmps, tripMs)).toBe("slow-trip");
  });
});
