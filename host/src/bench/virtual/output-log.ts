/** What the bench's outputs are doing electrically, from one moment of emulated time until the next entry. */
export interface OutputState {
  readonly atMs: number;
  readonly relayClosed: boolean;
  /** Drive channels that connect the supply to their pin: bit n for channel n. Always 0 while the relay is open. */
  readonly driveMask: number;
  /** Low-current channels that feed their pin. */
  readonly lowMask: number;
  /** Whether the fast hardware limit is latched. */
  readonly limitTripped: boolean;
}

/** True when no pin gets current from the bench, neither supply nor low current. */
export function isAllOff(state: OutputState): boolean {
  return state.driveMask === 0 && state.lowMask === 0;
}

const MOST_ENTRIES = 100_000;
const AT_POWER_UP: OutputState = { atMs: 0, relayClosed: false, driveMask: 0, lowMask: 0, limitTripped: false };

/** Every change of the outputs, in order, for tests and for whoever watches; the oldest go first when it gets long. */
export class OutputLog {
  readonly #entries: OutputState[] = [AT_POWER_UP];
  #listener: ((state: OutputState) => void) | undefined;

  get entries(): readonly OutputState[] {
    return this.#entries;
  }

  get last(): OutputState {
    return this.#entries[this.#entries.length - 1] ?? AT_POWER_UP;
  }

  /** One listener at a time. */
  onChange(listener: (state: OutputState) => void): void {
    this.#listener = listener;
  }

  add(state: OutputState): void {
    const { last } = this;
    const same =
      last.relayClosed === state.relayClosed &&
      last.driveMask === state.driveMask &&
      last.lowMask === state.lowMask &&
      last.limitTripped === state.limitTripped;
    if (same) return;
    this.#entries.push(state);
    if (this.#entries.length > MOST_ENTRIES) this.#entries.splice(0, MOST_ENTRIES / 2);
    this.#listener?.(state);
  }
}
