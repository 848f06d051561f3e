import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { JudgingDesk } from "@pinwalk/host/server/judging/judging-desk.js";
import { type RunningServer, type ServerOptions, startServer } from "@pinwalk/host/server/start-server.js";
import { onTestFinished } from "vitest";

export interface ServedForTest extends RunningServer {
  readonly plansDir: string;
  readonly recordsPath: string;
}

/** One for all servers of this process: a thread that has judged is warm for the next. */
const judging = new JudgingDesk();

/** A server of its own for one test, with the virtual bench at its fastest and an empty plan folder; gone with the test. */
export async function serveForTest(options: Partial<ServerOptions> = {}): Promise<ServedForTest> {
  const home = await mkdtemp(join(tmpdir(), "pinwalk-server-"));
  const plansDir = join(home, "plans");
  const recordsPath = options.recordsPath ?? join(home, "records", "store.sqlite");
  const server = await startServer({ port: 0, plansDir, recordsPath, pace: "fast", judging, ...options });
  onTestFinished(async () => {
    await server.close();
    await rm(home, { recursive: true, force: true });
  });
  return { ...server, plansDir, recordsPath };
}
