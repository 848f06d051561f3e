import { randomInt } from "node:crypto";
import { hashOfSecret, isSecretOf } from "./secret.js";

/** What a paired browser may do: see everything and press stop, or everything. */
export type Role = "watch" | "control";

/** What whoever comes with a code becomes. */
export interface PairingOffer {
  readonly name: string;
  readonly role: Role;
  /** Control goes over to it as soon as it comes. */
  readonly handOver: boolean;
}

export type CodeState = "none" | "open" | "used" | "expired" | "guessed";

export type Redeemed =
  | { readonly kind: "paired"; readonly offer: PairingOffer }
  | { readonly kind: "wrong" }
  | { readonly kind: "closed"; readonly because: Exclude<CodeState, "open"> };

interface OpenCode {
  readonly hash: Buffer;
  readonly offer: PairingOffer;
}

const digitCount = 8;
const lastsMs = 120_000;
/** Twenty of 10⁸ codes: a guesser's chance is 1 in five million before the code is void. */
const mostWrongTries = 20;

/** The one pairing code that may be open at a time: it works once, for two minutes, and is void when guessed at. */
export class PairingCodes {
  readonly #onChanged: () => void;
  #state: CodeState = "none";
  #open: OpenCode | null = null;
  #wrongTries = 0;
  #timer: NodeJS.Timeout | undefined;

  constructor(onChanged: () => void) {
    this.#onChanged = onChanged;
  }

  get state(): CodeState {
    return this.#state;
  }

  /** Makes a code; the one before is void. */
  make(offer: PairingOffer): { readonly code: string; readonly lastsMs: number } {
    const code = String(randomInt(10 ** digitCount)).padStart(digitCount, "0");
    this.#become("open", { hash: hashOfSecret(code), offer });
    this.#wrongTries = 0;
    this.#timer = setTimeout(() => this.#become("expired"), lastsMs);
    return { code, lastsMs };
  }

  redeem(code: string): Redeemed {
    if (!this.#open) return { kind: "closed", because: this.#state === "open" ? "none" : this.#state };
    if (!isSecretOf(this.#open.hash, code)) {
      this.#wrongTries += 1;
      if (this.#wrongTries >= mostWrongTries) this.#become("guessed");
      return { kind: "wrong" };
    }
    const { offer } = this.#open;
    this.#become("used");
    return { kind: "paired", offer };
  }

  cancel(): void {
    this.#become("none");
  }

  close(): void {
    clearTimeout(this.#timer);
  }

  #become(state: CodeState, open: OpenCode | null = null): void {
    clearTimeout(this.#timer);
    this.#state = state;
    this.#open = open;
    this.#onChanged();
  }
}
