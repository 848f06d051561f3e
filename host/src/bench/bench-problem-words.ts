import type { Refusal } from "@pinwalk/firmware-protocol/bench-line.js";
import type { RefusalCode } from "@pinwalk/firmware-protocol/generated/protocol.js";
import type { BenchProblem, BenchProblemCode } from "./bench-problem.js";

type Words<Union, Key extends string> = { readonly [Code in Key]: (one: Union & { readonly code: Code }) => string };

const volts = (millivolts: number) => `${(millivolts / 1000).toFixed(2)} V`;

const refusalWords: Words<Refusal, RefusalCode> = {
  verb: () => "it does not know the request",
  form: () => "the request has not the right form",
  range: ({ fields }) => `value ${fields.field + 1} of the request is out of its range`,
  busy: () => "a drive is going on",
  "not-armed": () => "it is not armed",
  "no-roles": () => "it has not been told which channels are wired",
  unused: ({ fields }) => `channel ${fields.channel} is not wired to a pin`,
  live: ({ fields }) =>
    `channel ${fields.channel} carries ${volts(fields.volts)} though nothing is driven: something else feeds it`,
  stuck: ({ fields }) =>
    `channel ${fields.channel} carries ${volts(fields.volts)} though it is switched off: its switch has failed and must be replaced`,
  foreign: ({ fields }) =>
    `channel ${fields.channel} carries ${volts(fields.volts)}, more than the bench's supply: a battery there would feed the bench through its switch`,
  "sense-only": ({ fields }) => `channel ${fields.channel} is marked never to be driven`,
  ground: ({ fields }) => `channel ${fields.channel} is a ground pin`,
  supply: ({ fields }) => `the supply is at ${volts(fields.supply)}, outside its window`,
  latched: () => "the fast current limit has tripped and must be cleared first",
  cooling: ({ fields }) => `the channel has just tripped and cools down for another ${fields.wait} ms`,
  stale: ({ fields }) => `measurement ${fields.measurement} is no longer kept`,
  "not-stored": () => "its memory did not hold what was written; the constants before still stand",
};

const problemWords: Words<BenchProblem, BenchProblemCode> = {
  "cannot-open": ({ path, detail }) => `${path} cannot be opened: ${detail}.`,
  "port-busy": ({ path }) => `${path} is in use by another program.`,
  "not-a-bench": ({ path, heardBytes }) =>
    heardBytes > 0
      ? `What answers at ${path} is not a bench.`
      : `Nothing answers at ${path}: it is not a bench, or the bench has no power.`,
  "other-protocol": ({ theirs, ours }) =>
    `This bench speaks protocol version ${theirs}, this program version ${ours}. Put the firmware on the bench that came with this program.`,
  "other-bench": ({ path, wanted, found }) => `The bench at ${path} is ${found}, not ${wanted}.`,
  "port-lost": ({ detail }) =>
    `The connection to the bench is lost (${detail}). The bench turns everything off by itself.`,
  "port-closed": () => "The connection to the bench has been closed.",
  "no-answer": ({ request, attempts, waitedMs }) =>
    `The bench did not answer "${request}" within ${Math.round(waitedMs)} ms${attempts > 1 ? `, asked ${attempts} times` : ""}.`,
  refused: ({ request, refusal }) => `The bench refused "${request}": ${wordsForRefusal(refusal)}.`,
  garbled: ({ request, why }) =>
    `The bench could not read a line ("${request}", ${why}) and has turned everything off. Look at the cable.`,
  "bench-reset": ({ reset }) => `The bench has reset (${reset}). Everything is off.`,
  overtaken: ({ request }) => `"${request}" was not sent, because everything was turned off.`,
  "queue-full": ({ request, most }) => `"${request}" was not sent: ${most} requests are waiting already.`,
  "no-end": ({ waitedMs }) => `The drive did not end within ${Math.round(waitedMs)} ms.`,
  "wrong-measurement": ({ asked, answered }) => `The bench answered for measurement ${answered} instead of ${asked}.`,
  "not-taken": ({ what, asked, inForce }) => `The bench did not take the ${what}: asked ${asked}, in force ${inForce}.`,
};

/** What to say to a person, in one or two sentences. */
export function wordsForProblem(problem: BenchProblem): string {
  return (problemWords[problem.code] as (one: BenchProblem) => string)(problem);
}

/** Why the bench refused, as half a sentence. Channels are the bench's; who knows the pins says it with those. */
export function wordsForRefusal(refusal: Refusal): string {
  return (refusalWords[refusal.code] as (one: Refusal) => string)(refusal);
}
