import { type ExitCode, exitCodes } from "./exit-code.js";

/**
 * Ends a command with words for the person and an exit code. Thrown by the commands alone; `main.ts` prints the
 * message on stderr without a stack.
 */
export class CommandFailure extends Error {
  readonly exitCode: ExitCode;

  constructor(exitCode: ExitCode, message: string, options?: ErrorOptions) {
    super(message, options);
    this.name = "CommandFailure";
    this.exitCode = exitCode;
  }
}

/** The person asked for something that cannot be (exit code 64): the message says what and what to do. */
export function wrongUse(message: string): CommandFailure {
  return new CommandFailure(exitCodes.wrongUse, message);
}

/** The tool could not do its work (exit code 3), which says nothing about the vehicle. */
export function couldNotTest(message: string): CommandFailure {
  return new CommandFailure(exitCodes.couldNotTest, message);
}
