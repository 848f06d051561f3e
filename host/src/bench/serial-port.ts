import { SerialPort } from "serialport";
import { BenchError } from "./bench-error.js";
import type { BenchPort, PortClosed } from "./port.js";
import { wallClock } from "./wall-clock.js";

/** A line that takes no more bytes is as good as lost; the contract's lines are far shorter. */
const mostUnwrittenBytes = 4096;

/**
 * Opens a serial port. Throws `port-busy` or `cannot-open`. DTR and RTS are left as the system sets them: pseudo-terminals
 * refuse to have them set, and a board that resets by them is waited for anyway.
 */
export async function openSerialPort(path: string, options: { readonly baud: number }): Promise<BenchPort> {
  const serial = new SerialPort({ path, baudRate: options.baud, autoOpen: false, lock: true });
  await new Promise<void>((resolve, reject) => {
    serial.open((error) => (error ? reject(openProblem(path, error)) : resolve()));
  });
  return new SerialBenchPort(path, serial);
}

/**
 * When the other end dies, `close` comes usually, now and then nothing until the next write, then `error` and `close`
 * twice: whichever is first counts, the rest is ignored.
 */
class SerialBenchPort implements BenchPort {
  readonly clock = wallClock;
  private bytesListener: ((bytes: Uint8Array) => void) | undefined;
  private closedListener: ((why: PortClosed) => void) | undefined;
  private why: PortClosed | undefined;
  private freed: Promise<void> | undefined;

  constructor(
    readonly path: string,
    private readonly serial: SerialPort,
  ) {
    serial.on("data", (bytes: Buffer) => {
      if (!this.why) this.bytesListener?.(bytes);
    });
    serial.on("error", (error: Error) => this.lost(error.message));
    serial.on("close", () => this.lost("the port has gone"));
  }

  write(bytes: Uint8Array): void {
    if (this.why) return;
    if (this.serial.writableLength > mostUnwrittenBytes) this.lost("the port takes no more bytes");
    else this.serial.write(bytes);
  }

  onBytes(listener: (bytes: Uint8Array) => void): void {
    this.bytesListener = listener;
  }

  onClosed(listener: (why: PortClosed) => void): void {
    this.closedListener = listener;
    // Whoever comes late has to hear it too.
    if (this.why) listener(this.why);
  }

  async close(): Promise<void> {
    this.ended({ kind: "asked" });
    await this.free();
  }

  private lost(detail: string): void {
    this.ended({ kind: "lost", detail });
    this.free().catch(() => undefined);
  }

  private ended(why: PortClosed): void {
    if (this.why) return;
    this.why = why;
    this.closedListener?.(why);
  }

  private free(): Promise<void> {
    this.freed ??= new Promise((resolve) => {
      // An error here says that it was closed already, and that is all that is wanted.
      if (this.serial.isOpen) this.serial.close(() => resolve());
      else resolve();
    });
    return this.freed;
  }
}

function openProblem(path: string, error: Error): BenchError {
  const busy = /lock|busy|temporarily unavailable/i.test(error.message);
  if (busy) return new BenchError({ code: "port-busy", path }, { cause: error });
  const detail = /permission|EACCES/i.test(error.message)
    ? "permission denied (on Linux the user must be in the group dialout)"
    : error.message;
  return new BenchError({ code: "cannot-open", path, detail }, { cause: error });
}
