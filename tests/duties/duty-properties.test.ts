import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { duties } from "./duties.js";
import { story } from "./happenings.js";
import { switchings } from "./intervals.js";
import { Witness } from "./witness.js";

// DUTY_SEED and DUTY_RUNS in the environment hunt elsewhere, and longer; with DUTY_QUICK a counterexample is told as it was found, not
// made smaller first. What a failure prints (seed and path) goes into `fc.assert` to see it again.
const seed = Number(process.env.DUTY_SEED ?? 20_261_125);
const numRuns = Number(process.env.DUTY_RUNS ?? 40);
const TIMEOUT_MS = 300_000 + numRuns * 5_000;

describe("the bench's duties, whatever host and vehicle do", () => {
  it(
    `hold through ${numRuns} long stories (seed ${seed})`,
    () => {
      const seen = { stories: 0, seconds: 0, switched: 0, ends: new Map<string, number>() };
      fc.assert(
        fc.property(story, fc.nat(), (happenings, noise) => {
          const witness = new Witness(noise);
          for (const one of happenings) witness.happen(one);
          witness.run(1_100);
          const neglected = Object.entries(duties).flatMap(([duty, judge]) =>
            judge(witness).map((words) => `${duty}: ${words}`),
          );
          expect(neglected).toEqual([]);
          seen.stories += 1;
          seen.seconds += witness.nowMs / 1_000;
          seen.switched += switchings(witness.bench.outputs.entries, witness.nowMs).length;
          for (const { push } of witness.pushes) {
            if (push.name === "ended") seen.ends.set(push.fields.end, (seen.ends.get(push.fields.end) ?? 0) + 1);
          }
        }),
        { seed, numRuns, endOnFailure: process.env.DUTY_QUICK !== undefined },
      );
      const ends = [...seen.ends].map(([end, times]) => `${end} ${times}`).join(", ");
      console.info(
        `${seen.stories} stories, ${seen.seconds.toFixed(0)} s, ${seen.switched} switchings; drives ended: ${ends}`,
      );
      // Stories in which nothing happens would prove nothing.
      expect(seen.switched).toBeGreaterThan(2 * numRuns);
      for (const end of ["settled", "time", "slow-trip", "fast-trip", "asked"]) {
        expect([...seen.ends.keys()]).toContain(end);
      }
    },
    TIMEOUT_MS,
  );
});
