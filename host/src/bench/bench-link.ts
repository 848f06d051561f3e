import { decodeLine, type Push } from "@pinwalk/firmware-protocol/bench-line.js";
import {
  marks,
  maxReplyBytes,
  protocolVersion,
  type ReplyFields,
  type RequestFields,
  type RequestName,
} from "@pinwalk/firmware-protocol/generated/protocol.js";
import { LineSplitter } from "@pinwalk/firmware-protocol/line-splitter.js";
import { BenchError } from "./bench-error.js";
import type { BenchProblem } from "./bench-problem.js";
import { KeepAlive } from "./keep-alive.js";
import type { BenchPort, PortClosed } from "./port.js";
import { type RequestOptions, RequestQueue } from "./request-queue.js";

const keepAliveEveryMs = 300;
const mostSilentRounds = 3;

export interface LinkCounts {
  /** Lines of the bench that could not be read. */
  readonly garbage: number;
  /** Answers that nobody waited for any more. */
  readonly late: number;
  /** Lines that the bench said it could not read. */
  readonly garbledAtBench: number;
  readonly bytesHeard: number;
}

/**
 * Requests, replies and pushes over a port. Whatever ends the port fails everything that waits with the same problem, and a
 * link that has ended stays so.
 *
 * Cuts lines with the contract's own splitter and not with a stream parser of the serial library: that one keeps a line that
 * never ends without bound, and a port need not be a stream of Node here.
 */
export class BenchLink {
  private readonly splitter = new LineSplitter(maxReplyBytes);
  private readonly requests: RequestQueue;
  private readonly keepAlive: KeepAlive;
  private readonly pushListeners = new Set<(push: Push) => void>();
  private readonly endListeners = new Set<(problem: BenchProblem) => void>();
  private readonly count = { garbage: 0, late: 0, garbledAtBench: 0, bytesHeard: 0 };
  private end: BenchProblem | undefined;

  constructor(readonly port: BenchPort) {
    this.requests = new RequestQueue(port.clock, (bytes) => {
      port.write(bytes);
      this.keepAlive.sent();
    });
    this.keepAlive = new KeepAlive(port.clock, {
      everyMs: keepAliveEveryMs,
      mostSilentRounds,
      ping: () => {
        // Whether it is answered shows in what is heard; an unanswered one is no event of its own.
        this.request("ping", {}, { attempts: 1 }).catch(() => undefined);
      },
      onSilent: () =>
        this.fail({
          code: "port-lost",
          detail: `the bench was silent for ${(mostSilentRounds + 1) * keepAliveEveryMs} ms`,
        }),
    });
    port.onBytes((bytes) => this.take(bytes));
    port.onClosed((why) => this.fail(problemOf(why)));
  }

  get counts(): LinkCounts {
    return { ...this.count };
  }

  /** What ended the link, if anything has. */
  get ended(): BenchProblem | undefined {
    return this.end;
  }

  /** Sends a request and waits for its reply. Rejects with a BenchError, or RangeError for values that no bench would take. */
  async request<Name extends RequestName>(
    name: Name,
    fields: RequestFields[Name],
    options: RequestOptions = {},
  ): Promise<ReplyFields[Name]> {
    if (this.end) throw new BenchError(this.end);
    return await this.requests.add(name, fields, options);
  }

  /** Hears every push, greetings too; returns how to stop. */
  onPush(listener: (push: Push) => void): () => void {
    this.pushListeners.add(listener);
    return () => this.pushListeners.delete(listener);
  }

  /** Called once when the link is over, whatever ended it; returns how to stop. */
  onEnded(listener: (problem: BenchProblem) => void): () => void {
    this.endListeners.add(listener);
    return () => this.endListeners.delete(listener);
  }

  /** While on, something goes out at least every 300 ms, and a bench that says nothing through three pings counts as lost. */
  setKeepAlive(on: boolean): void {
    if (on && !this.end) this.keepAlive.start();
    else this.keepAlive.stop();
  }

  /** Idempotent; whatever waits fails with `port-closed`. */
  async close(): Promise<void> {
    this.fail({ code: "port-closed" });
    await this.port.close();
  }

  private take(bytes: Uint8Array): void {
    this.count.bytesHeard += bytes.length;
    for (const line of this.splitter.push(bytes)) {
      if (this.end) return;
      if (line.kind === "long") this.count.garbage += 1;
      else this.takeLine(line.bytes);
    }
  }

  private takeLine(bytes: Uint8Array): void {
    // A greeting begins with a line feed, so that half a line sent before a reset cannot swallow it.
    if (bytes.length === 0) return;
    const heard = decodeLine(bytes);
    if (heard.kind === "garbage") {
      this.count.garbage += 1;
      // A bench that resets in the middle of a line begins its greeting there.
      const from = lastMark(bytes);
      if (from > 0) this.takeLine(bytes.subarray(from));
      return;
    }
    this.keepAlive.heard();
    switch (heard.kind) {
      case "other-protocol":
        this.fail({ code: "other-protocol", theirs: heard.protocol, ours: protocolVersion });
        return;
      case "push":
        this.takePush(heard);
        return;
      case "reply":
      case "refusal":
        if (!this.requests.take(heard)) this.count.late += 1;
    }
  }

  private takePush(push: Push): void {
    if (push.name === "hello") this.requests.greeted(push.fields.reset);
    if (push.name === "garbled") {
      this.count.garbledAtBench += 1;
      this.requests.garbled(push.fields.why);
    }
    for (const listener of this.pushListeners) listener(push);
  }

  private fail(problem: BenchProblem): void {
    if (this.end) return;
    this.end = problem;
    this.keepAlive.stop();
    this.requests.failAll(problem);
    for (const listener of this.endListeners) listener(problem);
    this.port.close().catch(() => undefined);
  }
}

function problemOf(why: PortClosed): BenchProblem {
  return why.kind === "asked" ? { code: "port-closed" } : { code: "port-lost", detail: why.detail };
}

const markBytes = Object.values(marks).map((mark) => mark.charCodeAt(0));

/** Where the last sentence of a line begins: marks stand nowhere else. */
function lastMark(line: Uint8Array): number {
  return line.findLastIndex((byte) => markBytes.includes(byte));
}
