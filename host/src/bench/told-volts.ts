import type { Push } from "@pinwalk/firmware-protocol/bench-line.js";
import type { Side } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { type ChannelVolts, channelVoltsOf } from "./measurements.js";

/**
 * Voltages that the bench has told before anybody asked. Emptied when a measurement is asked for: a bench that has reset begins to
 * count again, and what it told of an earlier one must not pass for the new.
 */
export class ToldVolts {
  private readonly bySide = new Map<Side, { readonly measurement: number; readonly volts: ChannelVolts }>();

  forget(): void {
    this.bySide.clear();
  }

  take(push: Push): void {
    if (push.name !== "volts") return;
    const { measurement, side, volts } = push.fields;
    this.bySide.set(side, { measurement, volts: channelVoltsOf(volts) });
  }

  of(measurement: number, side: Side): ChannelVolts | undefined {
    const told = this.bySide.get(side);
    return told?.measurement === measurement ? told.volts : undefined;
  }
}
