import type { Push } from "@pinwalk/firmware-protocol/bench-line.js";
import type { ReplyFields } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { BenchError, refusalOf } from "./bench-error.js";
import type { BenchLink } from "./bench-link.js";
import type { BenchProblem } from "./bench-problem.js";
import type { Timer } from "./port.js";

const askAgainMs = 500;
/** How much later than its time a drive may end: switching off, the last look at the pins, the line. */
const graceMs = 1500;

type NewsPush = Push & { readonly name: "trace" | "windows" | "gap" };

/**
 * Follows one drive, hold or watch to its end. The push that says so may get lost, so the result is also asked for now and
 * then. Begins to listen before it is asked for: the first pushes arrive in one piece with the reply.
 */
export class RunningMeasurement {
  private readonly stops: (() => void)[];
  private readonly endedEarly = new Set<number>();
  private readonly newsEarly: NewsPush[] = [];
  private measurement: number | undefined;
  private toldResult: ReplyFields["result"] | undefined;
  private problem: BenchProblem | undefined;
  private wake: (() => void) | undefined;

  constructor(
    private readonly link: BenchLink,
    /** Hears what the bench says of this measurement as it goes. */
    private readonly onNews: (push: NewsPush) => void,
  ) {
    this.stops = [link.onPush((push) => this.take(push)), link.onEnded((problem) => this.failWith(problem))];
  }

  /**
   * What `request` says once it is over. `mostMs`: the time that it was given, undefined for one that goes on while it is
   * kept. Throws `no-end`, `bench-reset`, or what ended the link.
   */
  async resultOf<Name extends "result" | "watched">(
    request: Name,
    measurement: number,
    mostMs: number | undefined,
  ): Promise<ReplyFields[Name]> {
    this.measurement = measurement;
    for (const push of this.newsEarly) this.tell(push);
    const { clock } = this.link.port;
    const startMs = clock.nowMs();
    let over = this.endedEarly.has(measurement);
    for (;;) {
      if (!over && !this.isTold(measurement)) await this.pause();
      if (request === "result" && this.isTold(measurement)) return this.toldResult as ReplyFields[Name];
      const result = await this.ask(request, measurement);
      if (result) return result;
      over = false;
      const waitedMs = clock.nowMs() - startMs;
      if (mostMs !== undefined && waitedMs > mostMs + graceMs) {
        throw new BenchError({ code: "no-end", measurement, waitedMs });
      }
    }
  }

  private isTold(measurement: number): boolean {
    return this.toldResult?.measurement === measurement;
  }

  stop(): void {
    for (const stop of this.stops) stop();
  }

  /** Until the next sign that it may be over, at most a while. */
  private async pause(): Promise<void> {
    if (this.problem) throw new BenchError(this.problem);
    let timer: Timer | undefined;
    await new Promise<void>((resolve) => {
      this.wake = resolve;
      timer = this.link.port.clock.after(askAgainMs, resolve);
    });
    timer?.cancel();
    this.wake = undefined;
    if (this.problem) throw new BenchError(this.problem);
  }

  private async ask<Name extends "result" | "watched">(
    request: Name,
    measurement: number,
  ): Promise<ReplyFields[Name] | undefined> {
    try {
      const result = await this.link.request<"result" | "watched">(request, { measurement });
      // The reply is that of the request asked.
      if (result.measurement === measurement) return result as ReplyFields[Name];
      throw new BenchError({ code: "wrong-measurement", asked: measurement, answered: result.measurement });
    } catch (error) {
      const refusal = refusalOf(error);
      if (refusal?.code === "busy") return undefined;
      if (refusal?.code !== "stale" || refusal.fields.measurement !== 0) throw error;
      // It knows of no measurement at all: it has reset, and its greeting got lost.
      const { reset } = await this.link.request("hello", {});
      throw new BenchError({ code: "bench-reset", reset });
    }
  }

  private take(push: Push): void {
    if (push.name === "trace" || push.name === "windows" || push.name === "gap") {
      if (this.measurement === undefined) this.newsEarly.push(push);
      else this.tell(push);
    } else if (push.name === "result") {
      // Told once the output is off; nothing that is to come is worth waiting for.
      this.toldResult = push.fields;
      if (push.fields.measurement === this.measurement) this.wake?.();
    } else if (push.name === "ended") {
      this.endedEarly.add(push.fields.measurement);
      if (push.fields.measurement === this.measurement) this.wake?.();
    } else if (push.name === "hello") this.failWith({ code: "bench-reset", reset: push.fields.reset });
  }

  private tell(push: NewsPush): void {
    if (push.fields.measurement === this.measurement) this.onNews(push);
  }

  private failWith(problem: BenchProblem): void {
    this.problem ??= problem;
    this.wake?.();
  }
}
