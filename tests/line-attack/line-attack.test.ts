import { describe, expect, it } from "vitest";
import { type AttackedWalk, attackedWalk, type CleanWalk, cleanWalk } from "./attacked-walk.js";
import { lineAttack, type Severity, severities } from "./line-attacks.js";
import { type Subject, subjects } from "./subjects.js";

const WALKS_PER_SEVERITY = 6;
const FIRST_SEED = 20_261_125;
const TIMEOUT_MS = 180_000;

const names = Object.keys(severities) as Severity[];
const clean = new Map<Subject, CleanWalk>();

async function honestly(subject: Subject): Promise<CleanWalk> {
  const walk = clean.get(subject) ?? (await cleanWalk(subject, 1));
  clean.set(subject, walk);
  return walk;
}

/** The subjects go round, so that all of them meet something. `which` is enough to run that walk again. */
async function walks(severity: Severity): Promise<(AttackedWalk & { readonly which: string })[]> {
  const first = names.indexOf(severity) * WALKS_PER_SEVERITY;
  const done = [];
  for (let at = first; at < first + WALKS_PER_SEVERITY; at += 1) {
    const subject = subjects[at % subjects.length];
    if (subject === undefined) throw new Error("no such subject");
    const honest = await honestly(subject);
    const seed = FIRST_SEED + at;
    const walk = await attackedWalk(subject, honest, lineAttack(severity, seed, honest.lastsMs));
    done.push({ which: `${subject.name}, ${severity}, seed ${seed}`, ...walk });
  }
  return done;
}

describe("a walk over a line that drops, doubles, garbles, delays and cuts", () => {
  it.each(names)(
    "(%s) ends in the right verdict or in none, with everything off in time",
    async (severity) => {
      const done = await walks(severity);
      expect(done.filter(({ ending }) => ending === "wrong" || ending === "hang")).toEqual([]);
      expect(done.filter(({ leftOn, saidOffWrongly }) => leftOn || saidOffWrongly)).toEqual([]);
      if (severity !== "severed") expect(done.reduce((sum, { mishaps }) => sum + mishaps, 0)).toBeGreaterThan(0);
      // Mishaps so rare are mostly lived with: a line that is only spoiled now and then must not stop the work.
      if (severity === "rare" || severity === "digits")
        expect(done.filter(({ ending }) => ending === "right").length).toBeGreaterThan(1);
    },
    TIMEOUT_MS,
  );
});
