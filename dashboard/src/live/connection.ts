import type {
  ClientToServerEvents,
  CommandAck,
  CommandName,
  CommandPayload,
  ServerToClientEvents,
  TraceBatch,
  WorkbenchState,
} from "@pinwalk/host/server/contract.js";
import type { StripBatch } from "@pinwalk/host/server/strip/strip-contract.js";
import { batch } from "@preact/signals";
import { io, type Socket } from "socket.io-client";
import { isSentAway } from "./access-requests.js";
import { bayNumber, bays } from "./bay.js";
import { FrameFlush } from "./frame-flush.js";
import { people, sentAway, you } from "./people.js";
import { addStrips, replaceStrips, stripEdition } from "./strips.js";
import { addBatch, replaceTraces, traceEdition } from "./traces.js";
import { link, lostAt, noteAnswer, socketId, workbench } from "./workbench-store.js";

const answerMs = 8000;
const comeBackMs = 1000;
const socket: Socket<ServerToClientEvents, ClientToServerEvents> = io({
  autoConnect: false,
  transports: ["websocket"],
  query: { bay: String(bayNumber) },
  reconnectionDelay: 400,
  reconnectionDelayMax: 3000,
});

let arrivedSections: Partial<WorkbenchState> = {};
let arrivedBatches: TraceBatch[] = [];
let arrivedStrips: StripBatch[] = [];

const flush = new FrameFlush(() => {
  const sections = arrivedSections;
  const batches = arrivedBatches;
  const strips = arrivedStrips;
  arrivedSections = {};
  arrivedBatches = [];
  arrivedStrips = [];
  batch(() => {
    if (workbench.value && Object.keys(sections).length > 0) workbench.value = { ...workbench.value, ...sections };
    for (const arrived of batches) addBatch(arrived);
    if (batches.length > 0) traceEdition.value += 1;
    for (const arrived of strips) addStrips(arrived);
    if (strips.length > 0) stripEdition.value += 1;
  });
});

/** Opens the one socket of this page; it comes back by itself when it is lost. */
export function connect(): void {
  socket.on("people", (view, which) => {
    batch(() => {
      people.value = view;
      you.value = which;
    });
  });
  socket.on("bays", (view) => {
    bays.value = view;
  });
  socket.on("snapshot", (state, traces) => {
    arrivedSections = {};
    arrivedBatches = [];
    batch(() => {
      workbench.value = state;
      socketId.value = socket.id ?? null;
      replaceTraces(traces);
      traceEdition.value += 1;
      link.value = "connected";
      sentAway.value = false;
    });
  });
  socket.on("changed", (sections) => {
    arrivedSections = { ...arrivedSections, ...sections };
    flush.ask();
  });
  socket.on("live", (arrived) => {
    arrivedBatches.push(arrived);
    flush.ask();
  });
  socket.on("strips", (kept) => {
    arrivedStrips = [];
    replaceStrips(kept);
    stripEdition.value += 1;
  });
  socket.on("strip", (arrived) => {
    arrivedStrips.push(arrived);
    flush.ask();
  });
  socket.on("disconnect", (reason) => {
    lost();
    // Whoever the server has sent off does not come back by itself.
    if (reason === "io server disconnect") setTimeout(() => socket.connect(), comeBackMs);
  });
  socket.on("connect_error", lost);
  // A phone that wakes up, or finds its network again, need not wait for the next turn.
  addEventListener("online", retry);
  document.addEventListener("visibilitychange", () => {
    if (!document.hidden && link.value === "lost") retry();
  });
  socket.connect();
}

/** Tries at once to reach the server again. */
export function retry(): void {
  if (socket.connected) return;
  socket.disconnect();
  socket.connect();
}

function lost(): void {
  batch(() => {
    if (link.value === "connected") lostAt.value = new Date();
    link.value = "lost";
  });
  // The computer itself is never sent away.
  if (you.value && !you.value.atComputer)
    void isSentAway().then((away) => {
      sentAway.value = away;
    });
}

/** Sends a command and waits for its answer; no answer is a refusal like any other, never an exception. */
export async function send<Name extends CommandName>(name: Name, payload: CommandPayload<Name>): Promise<CommandAck> {
  noteAnswer(name, null);
  const answer = await ask(name, payload);
  noteAnswer(name, answer);
  return answer;
}

/** Says once that this page is alive and in sight; whether it arrives, the next one shows. */
export function sendSignOfLife(to: "round:keep" | "keep-driven:keep"): void {
  socket.volatile.emit(to, {}, () => undefined);
}

async function ask(name: CommandName, payload: unknown): Promise<CommandAck> {
  if (!socket.connected) return noAnswer;
  try {
    // The schemas tie each payload to its name; the socket's own overloads cannot follow a name that varies.
    const emit = socket.timeout(answerMs).emitWithAck as (event: string, data: unknown) => Promise<CommandAck>;
    return await emit.call(socket.timeout(answerMs), name, payload);
  } catch {
    return noAnswer;
  }
}

const noAnswer: CommandAck = {
  ok: false,
  code: "no-answer",
  message: "The computer at the bench does not answer. Check that Pinwalk is still running there, then try again.",
};
