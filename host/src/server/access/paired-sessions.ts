import type { Role } from "./pairing-codes.js";
import { hashOfSecret, isSecretOf, newSecret } from "./secret.js";

/** A browser that was paired, as long as the server runs. */
export interface PairedSession {
  readonly id: string;
  readonly name: string;
  readonly role: Role;
  /** Where it was paired from. */
  readonly address: string;
  lastSeenAt: number;
}

/** A shop has a handful of phones. */
const mostSessions = 24;
/** A working day and its overtime. */
export const idleMs = 12 * 3_600_000;

/** Who has been paired. Only hashes of their secrets are kept, and only in memory: they end with the server. */
export class PairedSessions {
  readonly #isHere: (id: string) => boolean;
  readonly #sessions = new Map<string, { readonly hash: Buffer; readonly session: PairedSession }>();
  #made = 0;

  /** `isHere`: whether a page of that session is open now; such a one is never idle. */
  constructor(isHere: (id: string) => boolean) {
    this.#isHere = isHere;
  }

  /** Those that have not been idle for too long, in the order of their pairing. */
  list(now = Date.now()): PairedSession[] {
    for (const [id, { session }] of this.#sessions)
      if (now - session.lastSeenAt > idleMs && !this.#isHere(id)) this.#sessions.delete(id);
    return [...this.#sessions.values()].map(({ session }) => session);
  }

  get full(): boolean {
    return this.list().length >= mostSessions;
  }

  /** Returns the secret that its browser must show from now on; it stands nowhere else. */
  add(name: string, role: Role, address: string): { readonly session: PairedSession; readonly secret: string } {
    const secret = newSecret();
    this.#made += 1;
    const session = { id: `phone-${this.#made}`, name: this.#unlike(name), role, address, lastSeenAt: Date.now() };
    this.#sessions.set(session.id, { hash: hashOfSecret(secret), session });
    return { session, secret };
  }

  find(secret: string): PairedSession | undefined {
    this.list();
    for (const { hash, session } of this.#sessions.values()) if (isSecretOf(hash, secret)) return session;
    return undefined;
  }

  get(id: string): PairedSession | undefined {
    return this.#sessions.get(id)?.session;
  }

  end(id: string): boolean {
    return this.#sessions.delete(id);
  }

  /** Two phones of one name could not be told apart when control is handed over. */
  #unlike(name: string): string {
    const taken = new Set(this.list().map((session) => session.name));
    let unlike = name;
    for (let count = 2; taken.has(unlike); count += 1) unlike = `${name} ${count}`;
    return unlike;
  }
}
