import type { ExitCode } from "./exit-code.js";

/** Where a command writes and how it ends. One per process; tests of a command use the process itself. */
export interface Terminal {
  /** A document or table for the person or the next program: stdout. */
  out(text: string): void;
  /** A remark, a question, a failure: stderr. */
  err(text: string): void;
  /** True where a person watches stderr, so that a progress line makes sense. */
  readonly watched: boolean;
  /** True where a person can be asked something. */
  readonly canAsk: boolean;
  /** Wraps text in colour where stdout is a terminal that wants it; the words must carry the meaning without. */
  paint(colour: Colour, text: string): string;
  /** The exit code of the process once everything has ended. */
  exitWith(code: ExitCode): void;
}

export type Colour = "green" | "red" | "yellow" | "bold" | "dim";

/** ECMA-48 "select graphic rendition" codes. */
const sgr: Readonly<Record<Colour, number>> = { green: 32, red: 31, yellow: 33, bold: 1, dim: 2 };

function wantsColour(): boolean {
  return process.stdout.isTTY === true && !process.env.NO_COLOR && process.env.TERM !== "dumb";
}

/** The terminal of this process. A reader that goes away (`| head`) ends the writing, not the command. */
export function processTerminal(): Terminal {
  const coloured = wantsColour();
  for (const stream of [process.stdout, process.stderr]) {
    stream.on("error", (error: NodeJS.ErrnoException) => {
      if (error.code !== "EPIPE") throw error;
    });
  }
  return {
    out: (text) => void process.stdout.write(`${text}\n`),
    err: (text) => void process.stderr.write(`${text}\n`),
    watched: process.stderr.isTTY === true,
    canAsk: process.stdin.isTTY === true && process.stderr.isTTY === true,
    paint: (colour, text) => (coloured ? `\u001b[${sgr[colour]}m${text}\u001b[0m` : text),
    exitWith: (code) => {
      process.exitCode = code;
    },
  };
}
