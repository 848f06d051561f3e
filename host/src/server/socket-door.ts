import type { Server, Socket } from "socket.io";
import {
  type ClientToServerEvents,
  type CommandAck,
  type CommandName,
  type CommandPayload,
  commandSchemas,
  type ServerToClientEvents,
} from "./contract.js";
import type { Workbench } from "./workbench.js";

export type DashboardServer = Server<ClientToServerEvents, ServerToClientEvents>;
export type DashboardSocket = Socket<ClientToServerEvents, ServerToClientEvents>;

type Handlers = {
  [Name in CommandName]: (payload: CommandPayload<Name>) => CommandAck | Promise<CommandAck>;
};

/** What the commands of one browser do; `who` tells it from the others. */
function handlersOf(workbench: Workbench, who: string): Handlers {
  const { followUps } = workbench;
  return {
    "bench:refresh": () => workbench.refresh(),
    "bench:choose": (payload) => workbench.chooseBench(payload),
    "plan:choose": (payload) => workbench.choosePlan(payload),
    "plan:upload": (payload) => workbench.uploadPlan(payload),
    "faults:set": (payload) => workbench.setFaults(payload),
    "check:tick": (payload) => workbench.tick(payload),
    "walk:start": () => workbench.startWalk(),
    "walk:stop": () => workbench.stopWalk("asked"),
    "back-feed:start": () => followUps.startBackFeed(),
    "back-feed:answer": (payload) => followUps.answerBackFeed(payload),
    "back-feed:switch": (payload) => followUps.switchVehicle(payload),
    "round:start": () => followUps.startRound(who),
    "round:answer": (payload) => followUps.answerRound(who, payload),
    "round:keep": () => followUps.keepRound(who),
    "round:light": () => followUps.lightRound(who),
    "flex-watch:set-up": (payload) => workbench.flexWatch.setUp(payload),
    "flex-watch:start": () => workbench.flexWatch.start(),
    "flex-watch:next": () => workbench.flexWatch.next(),
    "flex-watch:wiggle": (payload) => workbench.flexWatch.wiggle(payload),
  };
}

function isCommand(event: unknown): event is CommandName {
  return typeof event === "string" && Object.hasOwn(commandSchemas, event);
}

/** Lets one browser in: the whole state at once, then its commands, each read against its schema before anything else. */
export function admit(socket: DashboardSocket, workbench: Workbench): void {
  const handlers = handlersOf(workbench, socket.id);
  socket.on("disconnect", () => workbench.left(socket.id));
  // One door for every event, known or not, so that nothing reaches a handler unread.
  socket.onAny((event: unknown, payload: unknown, ...rest: unknown[]) => {
    const last = rest.at(-1) ?? payload;
    const answer = typeof last === "function" ? (ack: CommandAck) => last(ack) : () => undefined;
    obey(handlers, event, payload).then(answer, (error: unknown) => {
      const message = `Pinwalk stumbled over itself: ${error instanceof Error ? error.message : String(error)}`;
      answer({ ok: false, code: "internal", message });
    });
  });
  socket.emit("snapshot", workbench.state(), workbench.traces());
  for (const batch of workbench.strips()) socket.emit("strip", batch);
}

async function obey(handlers: Handlers, event: unknown, payload: unknown): Promise<CommandAck> {
  if (!isCommand(event)) return { ok: false, code: "no-such-command", message: "The server knows no such command." };
  const read = commandSchemas[event].safeParse(payload);
  if (!read.success) {
    const problems = read.error.issues.map((issue) => ({ path: issue.path.join("."), message: issue.message }));
    return { ok: false, code: "bad-command", message: "The command has not the right form.", problems };
  }
  // The schema of this very event has just read the payload.
  return await (handlers[event] as (data: unknown) => CommandAck | Promise<CommandAck>)(read.data);
}
