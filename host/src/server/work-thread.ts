import { Worker } from "node:worker_threads";

/** Why a task was not done: too many wait, it took too long, its thread broke down, or nobody wants it any more. */
export type NotDone = "crowded" | "too-long" | "broken" | "gone";

export interface WorkThreadOptions {
  /** What runs in the thread: it answers each message with one. */
  readonly script: URL;
  /** What one task may take. */
  readonly mostMs: number;
  readonly mostWaiting: number;
}

export interface WorkWishes {
  /** Asked before the work begins. */
  readonly wanted?: () => boolean;
  /** Ends the work at any time; what is under way then ends with its thread. */
  readonly signal?: AbortSignal;
}

interface Task<Result> {
  readonly question: unknown;
  readonly wanted: () => boolean;
  readonly settle: (result: Result | NotDone) => void;
}

/**
 * One task after another in a thread of its own, so that the thread of the server, which keeps benches awake, never thinks for
 * long. The thread is begun with the first task; one that fails is given up, and the next task gets another.
 */
export class WorkThread<Question, Result extends object> {
  readonly #options: WorkThreadOptions;
  #worker: Worker | null = null;
  #waiting: Task<Result>[] = [];
  #now: Task<Result> | null = null;
  #limit: NodeJS.Timeout | undefined;
  #closed = false;

  constructor(options: WorkThreadOptions) {
    this.#options = options;
  }

  /** Never rejects. */
  ask(question: Question, { wanted = () => true, signal }: WorkWishes = {}): Promise<Result | NotDone> {
    if (this.#closed || signal?.aborted === true) return Promise.resolve("gone");
    if (this.#waiting.length >= this.#options.mostWaiting) return Promise.resolve("crowded");
    return new Promise((resolve) => {
      const task: Task<Result> = {
        question,
        wanted: () => signal?.aborted !== true && wanted(),
        settle: (result) => {
          signal?.removeEventListener("abort", overtaken);
          resolve(result);
        },
      };
      const overtaken = (): void => this.#giveUp(task);
      signal?.addEventListener("abort", overtaken);
      this.#waiting.push(task);
      this.#next();
    });
  }

  async close(): Promise<void> {
    this.#closed = true;
    for (const { settle } of this.#waiting.splice(0)) settle("gone");
    const worker = this.#worker;
    this.#dismiss("gone");
    await worker?.terminate();
  }

  #next(): void {
    if (this.#now || this.#closed) return;
    const next = this.#waiting.shift();
    if (!next) return;
    if (!next.wanted()) {
      next.settle("gone");
      this.#next();
      return;
    }
    this.#now = next;
    const worker = this.#worker ?? this.#employ();
    this.#limit = setTimeout(() => this.#dismiss("too-long"), this.#options.mostMs);
    worker.postMessage(next.question);
  }

  #employ(): Worker {
    const worker = new Worker(this.#options.script);
    // It alone keeps no program alive.
    worker.unref();
    const broken = (): void => {
      if (worker === this.#worker) this.#dismiss("broken");
    };
    worker.on("message", (result: Result) => {
      if (worker === this.#worker) this.#done(result);
    });
    for (const end of ["error", "messageerror", "exit"]) worker.on(end, broken);
    this.#worker = worker;
    return worker;
  }

  /** The thread is given up, and with it what it was about. */
  #dismiss(why: NotDone): void {
    void this.#worker?.terminate();
    this.#worker = null;
    this.#done(why);
  }

  #giveUp(task: Task<Result>): void {
    if (task === this.#now) {
      this.#dismiss("gone");
      return;
    }
    this.#waiting = this.#waiting.filter((other) => other !== task);
    task.settle("gone");
  }

  #done(result: Result | NotDone): void {
    clearTimeout(this.#limit);
    const { settle } = this.#now ?? {};
    this.#now = null;
    settle?.(result);
    this.#next();
  }
}
