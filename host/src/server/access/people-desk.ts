import type { IncomingMessage } from "node:http";
import type { PeopleView, PersonView, YouView } from "./access-contract.js";
import { Attendance } from "./attendance.js";
import { ControlSeat } from "./control-seat.js";
import type { Need } from "./needs.js";
import { PairedSessions } from "./paired-sessions.js";
import { PairingCodes, type Role } from "./pairing-codes.js";
import { passOf } from "./pass-cookie.js";
import { isLoopback } from "./peer-address.js";

/** Someone who may be here. All browsers on the computer itself are one person: whoever sits there. */
export interface Person {
  readonly id: string;
  readonly name: string;
  readonly role: Role;
  readonly atComputer: boolean;
}

export interface PeopleOptions {
  /** Addresses of pages on the local network; none while this machine alone is answered. */
  readonly addresses: readonly string[];
  readonly graceMs: number;
  readonly goneMs: number;
  /** Whoever controlled is lost; whether anybody is left. */
  readonly onControllerLost: (anybodyLeft: boolean) => void;
  /** Somebody controls now in the place of another. */
  readonly onHandedOver: () => void;
  readonly onChanged: () => void;
  /** Someone may not come in any more. */
  readonly onEnded: (personId: string) => void;
}

export type Refused = { readonly code: string; readonly message: string };

const computer: Person = { id: "computer", name: "The computer at the bench", role: "control", atComputer: true };
/** A page in several tabs is one person; many more are a mistake. */
const mostPages = 16;

/** Who is here, who may do what, and who controls. */
export class PeopleDesk {
  readonly #options: PeopleOptions;
  readonly #attendance = new Attendance();
  readonly #sessions = new PairedSessions((id) => this.#attendance.isHere(id));
  readonly #seat: ControlSeat;
  /** Paired with the promise of control, which they get when their page is there. */
  readonly #awaited = new Set<string>();
  #ending = false;
  readonly codes: PairingCodes;

  constructor(options: PeopleOptions) {
    this.#options = options;
    const { graceMs, goneMs, onChanged } = options;
    this.codes = new PairingCodes(onChanged);
    this.#seat = new ControlSeat({
      attendance: this.#attendance,
      graceMs,
      goneMs,
      onLost: () => options.onControllerLost(!this.#attendance.empty),
      onHandedOver: options.onHandedOver,
      onChanged,
    });
  }

  get addresses(): readonly string[] {
    return this.#options.addresses;
  }

  /** Who sends a request; undefined for a stranger. */
  personOf(request: IncomingMessage): Person | undefined {
    const { remoteAddress } = request.socket;
    if (remoteAddress === undefined) return undefined;
    if (isLoopback(remoteAddress)) return computer;
    const pass = passOf(request.headers.cookie);
    const session = pass === undefined ? undefined : this.#sessions.find(pass);
    if (!session) return undefined;
    session.lastSeenAt = Date.now();
    return { id: session.id, name: session.name, role: session.role, atComputer: false };
  }

  /** Whether a further page of this person fits. */
  hasRoom(person: Person): boolean {
    return this.#attendance.pages(person.id) < mostPages;
  }

  /** A page of this person has opened; call what is returned when it is gone. */
  enter(person: Person): () => void {
    const leave = this.#attendance.enter(person.id);
    if (this.#awaited.delete(person.id)) this.#seat.give(person.id);
    else if (person.role === "control") this.#seat.came(person.id);
    this.#options.onChanged();
    return () => {
      leave();
      const session = this.#sessions.get(person.id);
      if (session) session.lastSeenAt = Date.now();
      this.#seat.left(person.id);
    };
  }

  /** Why this person may not do something that takes so much; null where they may. Whoever only looks takes no free seat by it. */
  refusal(person: Person | undefined, need: Need, looks = false): Refused | null {
    if (need === "anybody") return null;
    if (!person) return notPaired;
    const session = this.#sessions.get(person.id);
    if (session) session.lastSeenAt = Date.now();
    if (need === "paired") return null;
    if (need === "computer") return person.atComputer ? null : onlyAtComputer;
    if (person.role === "watch") return watchOnly;
    if (need === "seat" && this.#ending) return ending;
    if (need === "role" || (looks ? this.#seat.open(person.id) : this.#seat.take(person.id))) return null;
    const holder = this.#nameOf(this.#seat.holderId);
    return { code: "not-in-control", message: `${holder} controls now. Ask for control first.` };
  }

  /** Makes whoever came with a code one of those who may come in. Null where there are too many of them. */
  pair(name: string, role: Role, address: string, handOver: boolean): { person: Person; secret: string } | null {
    if (this.#sessions.full) return null;
    const { session, secret } = this.#sessions.add(name, role, address);
    if (handOver && role === "control") this.#awaited.add(session.id);
    this.#options.onChanged();
    return { person: { ...session, atComputer: false }, secret };
  }

  ask(person: Person): void {
    this.#seat.ask(person.id);
  }

  refuseAsker(): void {
    this.#seat.refuse();
  }

  /** Whether this person is the one who controls. */
  controls(personId: string): boolean {
    return this.#seat.holderId === personId;
  }

  /** Hands control over. By the one who has it, or by the computer's own person, to themselves or another. */
  give(from: Person, toId: string): Refused | null {
    if (from.id !== this.#seat.holderId && !from.atComputer && !this.#seat.free)
      return { code: "not-in-control", message: "Only who controls, or the computer itself, can hand control over." };
    const role = toId === computer.id ? "control" : this.#sessions.get(toId)?.role;
    if (role !== "control") return { code: "no-such-person", message: "Nobody of that name may control." };
    if (!this.#attendance.isHere(toId)) return { code: "not-here", message: `${this.#nameOf(toId)} is not here now.` };
    this.#seat.give(toId);
    return null;
  }

  /** Someone has left for good, or was sent away. */
  end(personId: string): Refused | null {
    if (!this.#sessions.end(personId)) return { code: "no-such-person", message: "That one is not paired any more." };
    this.#awaited.delete(personId);
    this.#seat.dismiss(personId);
    this.#options.onEnded(personId);
    this.#options.onChanged();
    return null;
  }

  view(): PeopleView {
    return {
      addresses: this.addresses,
      list: [this.#personView(computer), ...this.#sessions.list().map((session) => this.#personView(session))],
      controllerId: this.#seat.holderId,
      free: this.#seat.free,
      askedById: this.#seat.askedById,
      code: this.codes.state,
    };
  }

  /** From now on nobody begins anything: what is driven is being turned off for good. */
  beginNoMore(): void {
    this.#ending = true;
  }

  you(person: Person): YouView {
    return { id: person.id, role: person.role, atComputer: person.atComputer };
  }

  close(): void {
    this.codes.close();
    this.#seat.close();
  }

  #personView({
    id,
    name,
    role,
    lastSeenAt,
  }: Omit<Person, "atComputer"> & { readonly lastSeenAt?: number }): PersonView {
    return {
      id,
      name,
      role,
      here: this.#attendance.isHere(id),
      lastSeenAt: lastSeenAt === undefined ? null : new Date(lastSeenAt).toISOString(),
    };
  }

  #nameOf(id: string | null): string {
    return (id === null ? undefined : this.#sessions.get(id)?.name) ?? computer.name;
  }
}

const notPaired = {
  code: "not-paired",
  message: "This browser is not paired. Ask for a code at the computer at the bench.",
};
const watchOnly = { code: "watch-only", message: "You watch: you can press stop, and nothing else." };
const ending = { code: "ending", message: "Pinwalk is ending: nothing more can be begun." };
const onlyAtComputer = { code: "only-at-computer", message: "That can be done at the computer at the bench alone." };
