import type { Server, Socket } from "socket.io";
import { Allowance } from "./access/allowance.js";
import { needOfCommand } from "./access/needs.js";
import type { PeopleDesk, Person, Refused } from "./access/people-desk.js";
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
function handlersOf(workbench: Workbench, people: PeopleDesk, person: Person, who: string): Handlers {
  const { followUps, guide, care, keepDriven, listening, planChoice } = workbench;
  return {
    "bench:refresh": () => workbench.refresh(),
    "bench:choose": (payload) => workbench.chooseBench(payload),
    "plan:choose": (payload) => planChoice.choose(payload),
    "plan:upload": (payload) => planChoice.upload(payload),
    "faults:set": (payload) => planChoice.setFaults(payload),
    "check:tick": (payload) => workbench.tick(payload),
    "walk:start": () => workbench.walking.start(),
    "walk:stop": () => workbench.stopWalk("asked"),
    "control:ask": () => {
      people.ask(person);
      return done;
    },
    "control:give": ({ to }) => ackOf(people.give(person, to)),
    "control:refuse": () => {
      people.refuseAsker();
      return done;
    },
    "people:end": ({ personId }) => ackOf(people.end(personId)),
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
    "listening:set-up": (payload) => listening.setUp(payload),
    "listening:start": () => listening.start(),
    "listening:said": (payload) => listening.said(payload),
    "listening:answer": (payload) => listening.answer(payload),
    "listening:forget": (payload) => listening.forget(payload),
    "listening:into-plan": (payload) => listening.putIntoPlan(payload),
    "listening:simulate": (payload) => listening.simulate(payload),
    "bench:ask": () => care.ask(),
    "bench:board": (payload) => care.replaceBoard(payload),
    "self-test:start": () => care.startSelfTest(),
    "self-test:answer": (payload) => care.answerSelfTest(payload),
    "calibration:start": (payload) => care.startCalibration(payload),
    "calibration:answer": (payload) => care.answerCalibration(payload),
    "bench-care:simulate": () => care.simulate(),
    "round:finish": () => followUps.finishRound(who),
    "guide:leave-out": (payload) => guide.leaveOut(payload),
    "guide:take-up": (payload) => guide.takeUp(payload),
    "guide:put-away": (payload) => guide.putAway(payload),
    // Whoever has seen enough to answer needs the pin no longer.
    "next-check:answer": (payload) => keepDriven.off().then(() => guide.answer(payload)),
    "next-check:undo": (payload) => keepDriven.off().then(() => guide.undo(payload)),
    "keep-driven:start": (payload) => keepDriven.start(who, payload),
    "keep-driven:keep": () => keepDriven.keep(who),
    "keep-driven:off": () => keepDriven.off(),
    "cable:check": (payload) => workbench.cable.check(payload),
    "batch:begin": (payload) => workbench.cable.begin(payload),
    "batch:end": () => workbench.cable.end(),
  };
}

function isCommand(event: unknown): event is CommandName {
  return typeof event === "string" && Object.hasOwn(commandSchemas, event);
}

const done: CommandAck = { ok: true };
const ackOf = (refused: Refused | null): CommandAck => (refused ? { ok: false, ...refused } : done);

/** A person's hand needs a few a second, a plan that follows the typing some more. */
const atOnce = 120;
const perSecond = 40;
/** Whoever goes on after so many refusals in a row is no page of ours. */
const mostTooFast = 500;

const tooFast: CommandAck = { ok: false, code: "too-fast", message: "Too many commands at once. Wait a second." };

/**
 * Lets one browser in: who is here, the whole state, then its commands. Each is read against its schema and held against what
 * its person may do before anything else.
 */
export function admit(socket: DashboardSocket, workbench: Workbench, people: PeopleDesk): void {
  const person = people.personOf(socket.request);
  if (!person) {
    socket.disconnect(true);
    return;
  }
  const handlers = handlersOf(workbench, people, person, socket.id);
  const allowance = new Allowance(atOnce, perSecond);
  let refusedInARow = 0;
  // The room of all pages of this person.
  void socket.join(person.id);
  const leave = people.enter(person);
  socket.on("disconnect", () => {
    workbench.left(socket.id);
    leave();
  });
  // One door for every event, known or not, so that nothing reaches a handler unread.
  socket.onAny((event: unknown, payload: unknown, ...rest: unknown[]) => {
    const last = rest.at(-1) ?? payload;
    const answer = typeof last === "function" ? (ack: CommandAck) => last(ack) : () => undefined;
    // Stop is never too fast.
    if (event !== "walk:stop" && !allowance.take()) {
      refusedInARow += 1;
      answer(tooFast);
      if (refusedInARow > mostTooFast) socket.disconnect(true);
      return;
    }
    refusedInARow = 0;
    obey(handlers, people, person, event, payload).then(answer, (error: unknown) => {
      const message = `Pinwalk stumbled over itself: ${error instanceof Error ? error.message : String(error)}`;
      answer({ ok: false, code: "internal", message });
    });
  });
  socket.emit("people", people.view(), people.you(person));
  socket.emit("snapshot", workbench.state(), workbench.traces());
  socket.emit("strips", workbench.strips());
}

/** Tells everybody who is here and who controls. */
export function tellPeople(sockets: DashboardServer, people: PeopleDesk): void {
  const view = people.view();
  for (const socket of sockets.of("/").sockets.values()) {
    const person = people.personOf(socket.request);
    if (person) socket.emit("people", view, people.you(person));
  }
}

async function obey(
  handlers: Handlers,
  people: PeopleDesk,
  person: Person,
  event: unknown,
  payload: unknown,
): Promise<CommandAck> {
  if (!isCommand(event)) return { ok: false, code: "no-such-command", message: "The server knows no such command." };
  const refused = people.refusal(person, needOfCommand(event));
  if (refused) return { ok: false, ...refused };
  const read = commandSchemas[event].safeParse(payload);
  if (!read.success) {
    const problems = read.error.issues.map((issue) => ({ path: issue.path.join("."), message: issue.message }));
    return { ok: false, code: "bad-command", message: "The command has not the right form.", problems };
  }
  // The schema of this very event has just read the payload.
  return await (handlers[event] as (data: unknown) => CommandAck | Promise<CommandAck>)(read.data);
}
