/** Why a virtual bench could not be opened or went on no longer. */
export type VirtualBenchErrorCode =
  | "bad-image"
  | "bad-plan"
  | "bad-fault"
  | "bad-setting"
  | "unsolvable"
  | "unsupported-sleep"
  | "ended";

/** Everything that the virtual bench throws; `code` for programs, the message for people. */
export class VirtualBenchError extends Error {
  readonly code: VirtualBenchErrorCode;

  constructor(code: VirtualBenchErrorCode, message: string, options?: { readonly cause?: unknown }) {
    super(message, options);
    this.name = "VirtualBenchError";
    this.code = code;
  }
}

export function isVirtualBenchError(value: unknown): value is VirtualBenchError {
  return value instanceof VirtualBenchError;
}
