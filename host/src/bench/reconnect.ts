import { baud as defaultBaud } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { BenchError, isBenchError } from "./bench-error.js";
import { type BenchIdentity, hasSerial } from "./bench-identity.js";
import type { BenchProblem } from "./bench-problem.js";
import { BenchSession } from "./bench-session.js";
import type { BenchPort, Clock } from "./port.js";
import { listPortPaths } from "./port-paths.js";
import { openSerialPort } from "./serial-port.js";
import { wallClock } from "./wall-clock.js";

const firstPauseMs = 250;
const longestPauseMs = 5000;

export interface ReconnectOptions {
  /** Gives up after this long; a minute unless given. */
  readonly mostMs?: number;
  readonly signal?: AbortSignal;
  readonly clock?: Clock;
  readonly openPort?: (path: string) => Promise<BenchPort>;
  /** Where the bench may turn up when its path has changed. */
  readonly listPaths?: () => Promise<readonly string[]>;
}

/**
 * Opens the bench again that was lost: at its path, or wherever a bench with the same serial number turns up, with pauses that
 * double from 250 ms to 5 s. The session that comes back is off and not configured: what was going on is never continued. A
 * bench without a serial number is only looked for at its path. Throws the last problem when the time is up, or
 * `port-closed` when the signal says so.
 */
export async function reconnectBench(
  lost: { readonly path: string; readonly identity: BenchIdentity },
  options: ReconnectOptions = {},
): Promise<BenchSession> {
  const { clock = wallClock, mostMs = 60_000, signal } = options;
  const endMs = clock.nowMs() + mostMs;
  for (let pauseMs = firstPauseMs; ; pauseMs = Math.min(pauseMs * 2, longestPauseMs)) {
    if (signal?.aborted) throw new BenchError({ code: "port-closed" });
    const attempt = await tryPaths(lost, options);
    if (attempt.session) {
      if (!signal?.aborted) return attempt.session;
      await attempt.session.close();
    } else if (clock.nowMs() + pauseMs > endMs) throw new BenchError(attempt.problem);
    await pause(clock, pauseMs, signal);
  }
}

type Attempt = { readonly session: BenchSession } | { readonly session?: undefined; readonly problem: BenchProblem };

async function tryPaths(
  lost: { readonly path: string; readonly identity: BenchIdentity },
  options: ReconnectOptions,
): Promise<Attempt> {
  const first = await tryPath(lost.path, lost.identity, options);
  if (first.session || !hasSerial(lost.identity)) return first;
  const listPaths = options.listPaths ?? (async () => (await listPortPaths()).map((port) => port.path));
  for (const path of (await listPaths()).filter((one) => one !== lost.path)) {
    const attempt = await tryPath(path, lost.identity, options);
    if (attempt.session) return attempt;
  }
  return first;
}

async function tryPath(path: string, wanted: BenchIdentity, options: ReconnectOptions): Promise<Attempt> {
  const openPort = options.openPort ?? ((at: string) => openSerialPort(at, { baud: defaultBaud }));
  try {
    const session = await BenchSession.open(await openPort(path));
    if (session.identity.serial === wanted.serial) return { session };
    const { serial } = session.identity;
    await session.close();
    return { problem: { code: "other-bench", path, wanted: wanted.serial, found: serial } };
  } catch (error) {
    if (isBenchError(error)) return { problem: error.problem };
    return { problem: { code: "cannot-open", path, detail: error instanceof Error ? error.message : String(error) } };
  }
}

function pause(clock: Clock, durationMs: number, signal: AbortSignal | undefined): Promise<void> {
  return new Promise((resolve) => {
    const done = () => {
      timer.cancel();
      signal?.removeEventListener("abort", done);
      resolve();
    };
    const timer = clock.after(durationMs, done);
    signal?.addEventListener("abort", done);
  });
}
