import type { ReplyFields, Reset } from "@pinwalk/firmware-protocol/generated/protocol.js";

/** Who a bench says it is. */
export interface BenchIdentity {
  readonly protocol: number;
  readonly firmware: string;
  /** `-` for a bench that was never given one. */
  readonly serial: string;
  readonly channels: number;
  readonly driveChannels: number;
  /** YYYY-MM-DD; absent for a bench that runs on its design values. */
  readonly calibratedAt?: string;
  /** Why it last started. */
  readonly reset: Reset;
}

const none = "-";

export function identityOf(hello: ReplyFields["hello"]): BenchIdentity {
  const { calibrated, ...rest } = hello;
  return calibrated === none ? rest : { ...rest, calibratedAt: calibrated };
}

/** Whether the bench can be told from others by its serial number. */
export function hasSerial(identity: BenchIdentity): boolean {
  return identity.serial !== none;
}
