import type { Refusal, Reply } from "@pinwalk/firmware-protocol/bench-line.js";
import {
  type ReplyFields,
  type RequestFields,
  type RequestName,
  type Reset,
  requests,
} from "@pinwalk/firmware-protocol/generated/protocol.js";
import { encodeRequest } from "@pinwalk/firmware-protocol/request-line.js";
import { BenchError } from "./bench-error.js";
import type { BenchProblem } from "./bench-problem.js";
import type { Clock, Timer } from "./port.js";

const mostWaiting = 32;
const defaultTimeoutMs = 500;
const defaultAttempts = 3;

export interface RequestOptions {
  /** Milliseconds of the port's clock for each attempt; 500 unless given. */
  readonly timeoutMs?: number;
  /** Attempts in all, for requests that may be repeated; 3 unless given. Others are sent once, whatever stands here. */
  readonly attempts?: number;
}

interface Waiting {
  readonly name: RequestName;
  readonly encode: (tag: number) => Uint8Array;
  readonly resolve: (fields: unknown) => void;
  readonly reject: (error: BenchError) => void;
  readonly timeoutMs: number;
  readonly mostAttempts: number;
  attempts: number;
  tag: number;
  timer: Timer | undefined;
}

/**
 * Matches answers to requests by tag. One request is under way at a time and the rest wait in a bounded queue; `off` and `ping` go out
 * at once. A request that may be repeated is repeated under a new tag, so that a reply to the old one, should it come late,
 * finds nobody.
 */
export class RequestQueue {
  private readonly queue: Waiting[] = [];
  private readonly byTag = new Map<number, Waiting>();
  private current: Waiting | undefined;
  private lastTag = 0xff;

  constructor(
    private readonly clock: Clock,
    private readonly write: (bytes: Uint8Array) => void,
  ) {}

  /** Rejects with a BenchError, or RangeError for values that no bench would take. */
  async add<Name extends RequestName>(
    name: Name,
    fields: RequestFields[Name],
    options: RequestOptions,
  ): Promise<ReplyFields[Name]> {
    const encode = (tag: number) => encodeRequest(tag, name, fields);
    encode(0); // a value that cannot be sent is told now, not when its turn comes
    if (name === "off") this.dropQueuedOutputs();
    if (name !== "off" && this.queue.length + this.byTag.size >= mostWaiting) {
      throw new BenchError({ code: "queue-full", request: name, most: mostWaiting });
    }
    const reply = new Promise((resolve, reject) => {
      const waiting: Waiting = {
        name,
        encode,
        resolve,
        reject,
        timeoutMs: options.timeoutMs ?? defaultTimeoutMs,
        mostAttempts: requests[name].repeatable ? (options.attempts ?? defaultAttempts) : 1,
        attempts: 0,
        tag: -1,
        timer: undefined,
      };
      if (isUrgent(name)) this.send(waiting);
      else this.queue.push(waiting);
    });
    this.sendNext();
    // The reply to a request has that request's fields: the table was asked when the line was read.
    return (await reply) as ReplyFields[Name];
  }

  /** False when nobody waits for this answer any more. */
  take(answer: Reply | Refusal): boolean {
    const waiting = this.byTag.get(answer.tag);
    if (!waiting || (answer.kind === "reply" && answer.name !== waiting.name)) return false;
    this.settle(waiting);
    if (answer.kind === "reply") waiting.resolve(answer.fields);
    else waiting.reject(new BenchError({ code: "refused", request: waiting.name, refusal: answer }));
    this.sendNext();
    return true;
  }

  /** The bench could not read a line: whatever is under way may have been it. */
  garbled(why: string): void {
    for (const waiting of [...this.byTag.values()]) {
      if (waiting.name !== "ping") this.retryOrFail(waiting, { code: "garbled", request: waiting.name, why });
    }
  }

  /** A bench that greets has forgotten everything; only `hello` still makes sense, and is asked again. */
  greeted(reset: Reset): void {
    const problem: BenchProblem = { code: "bench-reset", reset };
    for (const waiting of [...this.byTag.values(), ...this.queue]) {
      if (waiting.name !== "hello") this.giveUp(waiting, problem);
      else if (waiting.attempts > 0) this.retryOrFail(waiting, problem);
    }
    this.sendNext();
  }

  failAll(problem: BenchProblem): void {
    for (const waiting of [...this.byTag.values(), ...this.queue]) this.giveUp(waiting, problem);
  }

  private sendNext(): void {
    if (this.current) return;
    const next = this.queue.shift();
    if (!next) return;
    this.current = next;
    this.send(next);
  }

  private send(waiting: Waiting): void {
    waiting.attempts += 1;
    waiting.tag = this.freeTag();
    this.byTag.set(waiting.tag, waiting);
    this.write(waiting.encode(waiting.tag));
    // Only now: the time that the request spent in the queue is not the bench's.
    waiting.timer = this.clock.after(waiting.timeoutMs, () => {
      const { name, attempts, timeoutMs } = waiting;
      this.retryOrFail(waiting, { code: "no-answer", request: name, attempts, waitedMs: attempts * timeoutMs });
    });
  }

  private retryOrFail(waiting: Waiting, problem: BenchProblem): void {
    if (waiting.attempts < waiting.mostAttempts) {
      this.forgetTag(waiting);
      this.send(waiting);
    } else {
      this.giveUp(waiting, problem);
      this.sendNext();
    }
  }

  private giveUp(waiting: Waiting, problem: BenchProblem): void {
    this.settle(waiting);
    waiting.reject(new BenchError(problem));
  }

  private settle(waiting: Waiting): void {
    this.forgetTag(waiting);
    if (this.current === waiting) this.current = undefined;
    const queued = this.queue.indexOf(waiting);
    if (queued >= 0) this.queue.splice(queued, 1);
  }

  private forgetTag(waiting: Waiting): void {
    waiting.timer?.cancel();
    if (this.byTag.get(waiting.tag) === waiting) this.byTag.delete(waiting.tag);
  }

  /** What waits to switch something on must not go out after an `off` that was asked later. */
  private dropQueuedOutputs(): void {
    for (const waiting of this.queue.filter((one) => requests[one.name].outputs)) {
      this.giveUp(waiting, { code: "overtaken", request: waiting.name });
    }
  }

  /** Tags go round, so that one that was given up comes again as late as can be. */
  private freeTag(): number {
    do this.lastTag = (this.lastTag + 1) % 256;
    while (this.byTag.has(this.lastTag));
    return this.lastTag;
  }
}

function isUrgent(name: RequestName): boolean {
  return name === "off" || name === "ping";
}
