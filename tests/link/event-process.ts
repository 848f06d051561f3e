import { spawn } from "node:child_process";
import { once } from "node:events";
import { createInterface } from "node:readline";

type Event = Readonly<Record<string, unknown>>;

/** A process of its own that prints one JSON object per line. */
export interface EventProcess {
  readonly events: readonly Event[];
  /** The first event that fits, past or to come; rejects when the process ends without one. */
  event(fits: (event: Event) => boolean): Promise<Event>;
  kill(signal: NodeJS.Signals): Promise<void>;
}

export function startEventProcess(script: string, args: readonly string[]): EventProcess {
  const child = spawn(process.execPath, [script, ...args], { stdio: ["ignore", "pipe", "pipe"] });
  const events: Event[] = [];
  const waiting = new Set<() => void>();
  let ended = false;
  let complaint = "";
  const tell = () => {
    for (const look of waiting) look();
  };
  child.stderr.on("data", (chunk: Buffer) => {
    complaint += chunk.toString();
  });
  createInterface({ input: child.stdout }).on("line", (line) => {
    events.push(JSON.parse(line));
    tell();
  });
  const closed = once(child, "close").then(() => {
    ended = true;
    tell();
  });
  return {
    events,
    event: (fits) =>
      new Promise((resolve, reject) => {
        const look = () => {
          const found = events.find(fits);
          if (!found && !ended) return;
          waiting.delete(look);
          if (found) resolve(found);
          else reject(new Error(`${script} ended without that event. It said: ${JSON.stringify(events)} ${complaint}`));
        };
        waiting.add(look);
        look();
      }),
    kill: async (signal) => {
      child.kill(signal);
      await closed;
    },
  };
}
