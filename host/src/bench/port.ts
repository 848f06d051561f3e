/**
 * What a bench is reached through: a stream of bytes with a clock of its own.
 *
 * A serial port keeps wall time. The virtual bench may run faster than life; then the time that its timers count is
 * the emulated time, and it stands still while the host thinks. Whoever waits for a bench therefore waits on the
 * port's clock, never on the machine's.
 */
export interface Clock {
  /** Milliseconds since some fixed moment of this clock. */
  nowMs(): number;
  /** Calls `run` once, `delayMs` of this clock from now. */
  after(delayMs: number, run: () => void): Timer;
}

export interface Timer {
  /** Harmless when the timer has fired or was cancelled before. */
  cancel(): void;
}

/** Why a port is closed: asked by the host, or lost (cable pulled, device gone, emulator ended). */
export type PortClosed = { readonly kind: "asked" } | { readonly kind: "lost"; readonly detail: string };

export interface BenchPort {
  /** What a person would type to name it: a device path, or `virtual`. */
  readonly path: string;
  readonly clock: Clock;
  /** Queues bytes; a port that is closed drops them. */
  write(bytes: Uint8Array): void;
  /** One listener at a time; bytes come in whatever pieces the line delivers. */
  onBytes(listener: (bytes: Uint8Array) => void): void;
  /** Called exactly once, whoever closed it. */
  onClosed(listener: (why: PortClosed) => void): void;
  /** Resolves when the port is free again. Idempotent. */
  close(): Promise<void>;
}
