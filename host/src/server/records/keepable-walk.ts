import type { Job } from "../../records/record-schema.js";
import type { WalkRun } from "../walk-run.js";
import type { Workbench } from "../workbench.js";
import type { KeepableWalk, KeepRequest } from "./records-contract.js";

/** The last walk as something to keep, so that one walk is not kept twice by two people. */
export function keepableWalk(workbench: Workbench): KeepableWalk {
  const { run } = workbench;
  if (!run) return { walkNumber: 0, state: "not-judged", hash: null };
  const walkNumber = run.view.number;
  const hash = run.recorded?.hash ?? null;
  const judged = !run.going && !workbench.followUps.going && run.findings !== undefined && run.readings !== undefined;
  if (!judged) return { walkNumber, state: "not-judged", hash };
  if (hash === null) return { walkNumber, state: "ready", hash };
  return { walkNumber, state: run.recorded?.findings === run.findings ? "kept" : "changed", hash };
}

/** The job of a judged walk with what a person wrote about it; undefined where there is nothing judged. */
export function jobOf(
  run: WalkRun,
  request: KeepRequest,
  corrects: string | null,
  leftOut: readonly { readonly question: string; readonly answer: string }[],
): Job | undefined {
  const { readings, findings, plan } = run;
  if (!readings || !findings) return undefined;
  const { person, serial, kind, description, customer, shop, batch, notes } = request;
  return {
    person,
    subject: { kind, serial, ...(description === undefined ? {} : { description }) },
    // As a file would have them: without −0 and without members that are not there.
    ...(JSON.parse(JSON.stringify({ plan, readings, findings })) as Pick<Job, "plan" | "readings" | "findings">),
    answers: [
      ...leftOut,
      ...run.countedAnswers.map(({ question, words, answeredAt }) => ({ question, answer: words, answeredAt })),
    ],
    ...(customer === undefined ? {} : { customer }),
    ...(shop === undefined ? {} : { shop }),
    ...(batch === undefined ? {} : { batch }),
    ...(notes === undefined ? {} : { notes }),
    ...(corrects === null ? {} : { corrects: { hash: corrects, why: "More was seen and judged after it was kept." } }),
  };
}
