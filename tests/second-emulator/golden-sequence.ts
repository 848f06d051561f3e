import type { Push } from "@pinwalk/firmware-protocol/bench-line.js";
import type { RequestFields, RequestName } from "@pinwalk/firmware-protocol/generated/protocol.js";
import type { AskedBench, Machine } from "../firmware/asked-bench.js";

/** One thing that was said: what was asked, if anything, and every field of the answer. */
export interface Said {
  readonly after: string;
  readonly what: string;
  readonly fields: Readonly<Record<string, unknown>>;
}

/** Ohms on the drive channels: a lamp, a trailer of lamps, an LED's resistor, a dead short of sorts; 4 is open. */
export const loads: readonly (readonly [channel: number, ohms: number])[] = [
  [0, 6.2],
  [1, 2.1],
  [2, 180],
  [3, 1],
];
/** Supplies of their own on the channels that are never driven, each another, so that no input can be taken for its neighbour. */
export const foreign: readonly (readonly [channel: number, volts: number])[] = [
  [8, 6],
  [9, 7.31],
  [10, 0.42],
  [11, 9.9],
  [12, 15.87],
];
/** What stands on the far channels. */
export const farVolts = [12.61, 0.08, 11.1, 3.3, 0, 1.27, 2.5, 4.4, 5.05, 6.66, 7.77, 8.88, 14.2] as const;
const LIVE_VOLTS = 6;
const ABOVE_SUPPLY_VOLTS = 13.6;
/** Some hundred bytes of EEPROM, 3.4 ms each, are more than a request otherwise takes. */
const STORED_WITHIN_MS = 900;

/** Every request of the contract once, most refusals, each way for a drive to end that steady loads allow, and a restart. */
export function goldenSequence<M extends Machine>(
  bench: AskedBench<M>,
  setForeign: (channel: number, volts: number) => void,
): Said[] {
  const said: Said[] = [];
  let heard = 0;
  const notePushes = (after: string): void => {
    for (const { push } of bench.pushes.slice(heard)) {
      if (push.name !== "trace") said.push({ after, what: `push ${push.name}`, fields: { ...push.fields } });
    }
    heard = bench.pushes.length;
  };
  const ask = <Name extends RequestName>(name: Name, fields: RequestFields[Name]): Record<string, unknown> => {
    const tag = bench.send(name, fields);
    if (name === "store") bench.run(STORED_WITHIN_MS);
    const answer = bench.answerTo(tag);
    const after = [name, ...Object.values(fields)].join(" ");
    notePushes(after);
    said.push({
      after,
      what: answer.kind === "reply" ? `reply ${answer.name}` : `refusal ${answer.code}`,
      fields: { ...answer.fields },
    });
    return { ...answer.fields };
  };
  const volts = (measurement: unknown): void => {
    for (const side of ["near", "far"] as const) ask("volts", { measurement: Number(measurement), side });
  };
  const await_ = (name: Push["name"], withinMs: number, talking = true): void => {
    bench.await(name, withinMs, talking);
    notePushes(`waiting for ${name}`);
  };

  bench.run(100);
  notePushes("power-up");
  ask("hello", {});
  ask("ping", {});
  ask("arm", {});
  ask("limits", { trip: 10_000, tripTime: 100, supplyMin: 10_000, supplyMax: 16_000, cool: 2_000 });
  ask("roles", { used: 0x017f, senseOnly: 0x20, ground: 0x40 });
  ask("drive", { channel: 0, most: 500 });
  ask("check", {});
  ask("constant", { item: "near-gain", channel: 12 });
  ask("stage", { item: "low-ohms", channel: 0, value: 1_003 });
  ask("serial", { serial: "bench-02" });
  ask("store", { date: "2026-11-25" });
  volts(ask("rest", {}).measurement);
  ask("status", {});

  ask("arm", {});
  for (const channel of [0, 1, 2, 3, 4]) volts(ask("low", { channel }).measurement);
  for (const channel of [0, 1, 2, 4]) {
    const { measurement } = ask("drive", { channel, most: 2_000 });
    await_("ended", 800);
    ask("result", { measurement: Number(measurement) });
    volts(measurement);
  }
  const tripped = ask("drive", { channel: 3, most: 2_000 });
  await_("off", 800);
  ask("result", { measurement: Number(tripped.measurement) });
  ask("arm", {});
  ask("hold", { channel: 3 });
  ask("status", {});

  for (const channel of [5, 6, 7]) {
    ask("arm", {});
    ask("low", { channel });
  }
  ask("arm", {});
  setForeign(2, LIVE_VOLTS);
  bench.run(5);
  ask("drive", { channel: 2, most: 500 });
  setForeign(2, 0);
  ask("result", { measurement: 60_000 });
  ask("keep", { measurement: 1 });

  ask("arm", {});
  const held = ask("hold", { channel: 0 });
  bench.run(200);
  notePushes("holding");
  ask("keep", { measurement: Number(held.measurement) });
  bench.machine.send("?2A drive 3 4000*0000\n");
  await_("garbled", 100);
  ask("status", {});

  ask("arm", {});
  ask("hold", { channel: 1 });
  await_("off", 1_300, false);
  ask("clear", {});
  ask("off", {});

  ask("far", { look: 0 });
  setForeign(7, ABOVE_SUPPLY_VOLTS);
  bench.run(5);
  ask("arm", {});
  setForeign(7, 0);
  bench.run(5);
  volts(ask("rest", {}).measurement);
  ask("arm", {});
  volts(ask("low", { channel: 2 }).measurement);
  ask("drive", { channel: 0, most: 2_000 });
  await_("ended", 800);
  ask("far", { look: 1 });
  ask("off", {});
  ask("restart", {});
  await_("hello", 600, false);
  ask("hello", {});
  ask("constant", { item: "low-ohms", channel: 0 });
  ask("status", {});
  return said;
}
