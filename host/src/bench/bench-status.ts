import type { ReplyFields, State } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { unitsOf } from "./measurements.js";

/** How a bench is doing. */
export interface BenchStatus {
  readonly state: State;
  readonly supplyVolts: number;
  readonly temperatureC: number;
  readonly uptimeMs: number;
  /** Lines that it could not read since it started. */
  readonly garbledLines: number;
  /** Number of the newest measurement, 0 for none. */
  readonly measurement: number;
}

export function statusOf(reply: ReplyFields["status"]): BenchStatus {
  return {
    state: reply.state,
    supplyVolts: unitsOf(reply.supply),
    temperatureC: reply.temperature / 10,
    uptimeMs: reply.uptime,
    garbledLines: reply.garbled,
    measurement: reply.measurement,
  };
}
