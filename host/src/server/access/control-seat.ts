import type { Attendance } from "./attendance.js";

export interface SeatOptions {
  readonly attendance: Attendance;
  /** How long the controller's last page may be gone before what is driven ends: a page loaded again is back by then. */
  readonly graceMs: number;
  /** How long it must be gone before another may take control without asking. */
  readonly goneMs: number;
  /** The controller is lost. */
  readonly onLost: () => void;
  /** Somebody controls now in the place of another. */
  readonly onHandedOver: () => void;
  readonly onChanged: () => void;
}

/**
 * Who controls: one person at a time. The seat is taken by whoever may control and comes or acts first while it is free;
 * afterwards it changes hands only by a hand-over, or when its holder has been gone for a while.
 */
export class ControlSeat {
  readonly #options: SeatOptions;
  #holderId: string | null = null;
  #askedById: string | null = null;
  #abandoned = false;
  #closed = false;
  #lostTimer: NodeJS.Timeout | undefined;
  #goneTimer: NodeJS.Timeout | undefined;

  constructor(options: SeatOptions) {
    this.#options = options;
  }

  get holderId(): string | null {
    return this.#holderId;
  }

  /** Who waits for control. */
  get askedById(): string | null {
    return this.#askedById;
  }

  /** Whether control can be had without asking. */
  get free(): boolean {
    return this.#holderId === null || this.#abandoned;
  }

  /** A page of someone who may control has opened. */
  came(personId: string): void {
    if (this.#holderId === personId) this.#watchHolder();
    else if (this.free) this.give(personId);
  }

  /** A page of someone is gone. */
  left(personId: string): void {
    if (this.#options.attendance.isHere(personId)) return;
    if (this.#askedById === personId) this.#askedById = null;
    if (this.#holderId === personId) this.#watchHolder();
    this.#options.onChanged();
  }

  /** Whether this person could act now. */
  open(personId: string): boolean {
    return this.#holderId === personId || this.free;
  }

  /** Whether this person may act now; a free seat is taken by acting. */
  take(personId: string): boolean {
    if (!this.open(personId)) return false;
    if (this.#holderId !== personId) this.give(personId);
    return true;
  }

  /** Asks the holder for control; a free seat is taken at once. */
  ask(personId: string): void {
    if (this.take(personId)) return;
    this.#askedById = personId;
    this.#options.onChanged();
  }

  /** The holder keeps control. */
  refuse(): void {
    this.#askedById = null;
    this.#options.onChanged();
  }

  give(personId: string): void {
    const before = this.#holderId;
    this.#holderId = personId;
    this.#askedById = null;
    this.#watchHolder();
    if (before !== null && before !== personId) this.#options.onHandedOver();
    this.#options.onChanged();
  }

  /** This person may not control any more. */
  dismiss(personId: string): void {
    if (this.#askedById === personId) this.#askedById = null;
    if (this.#holderId !== personId) return;
    this.#holderId = null;
    this.#stopTimers();
    this.#options.onLost();
    this.#options.onChanged();
  }

  /** Nobody is missed any more: the pages that go now go because everything ends. */
  close(): void {
    this.#closed = true;
    this.#stopTimers();
  }

  #watchHolder(): void {
    this.#stopTimers();
    if (this.#closed) return;
    const { attendance, graceMs, goneMs, onLost, onChanged } = this.#options;
    if (this.#holderId === null || attendance.isHere(this.#holderId)) {
      this.#abandoned = false;
      return;
    }
    this.#lostTimer = setTimeout(onLost, graceMs);
    this.#goneTimer = setTimeout(() => {
      this.#abandoned = true;
      onChanged();
    }, goneMs);
  }

  #stopTimers(): void {
    clearTimeout(this.#lostTimer);
    clearTimeout(this.#goneTimer);
  }
}
