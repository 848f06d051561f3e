import type { BenchSession } from "../../bench/bench-session.js";
import { type SelfTestItem, testedItem } from "./self-test-item.js";

/** 47 Ω 5 W resistors of 5 %, and the bench's own current uncertainty at 0.27 A (design: 40 mA). */
const loadOhms = 47;
const loadTolerance = 0.2;
/** Shunt, fuse, relay, switch and leads are 0.1 Ω (design); a bad joint among them shows as more. */
const mostSourceOhms = 0.5;
const driveMostMs = 1500;
/** A few milliamps into 47 Ω give 0.2 V; open gives 4.4 V, a short nothing. */
const loadedVolts = { least: 0.1, most: 1 } as const;
/** Less than a load takes, so that the slow limit has to act. */
const lowTripAmps = 0.1;

async function driveOnce(session: BenchSession, channel: number) {
  await session.arm();
  const drive = await session.drive(channel, { mostMs: driveMostMs });
  await session.off();
  return drive;
}

/**
 * Each drive channel into the far loads, with the far socket plugged into the near connector: switch, shunt and amplifier agree
 * with the resistor; then the slow limit has to end a drive. `wired`: the drive channels that the
 * near connector has pins for. Needs `setLimit` to put another limit in force.
 */
export async function farLoads(
  session: BenchSession,
  wired: readonly number[],
  setLimit: (tripAmps: number) => Promise<void>,
  stopIfCancelled: () => void,
): Promise<readonly SelfTestItem[]> {
  const items: SelfTestItem[] = [];
  const loaded: number[] = [];
  for (const channel of wired) {
    stopIfCancelled();
    await session.arm();
    stopIfCancelled();
    const own = (await session.low(channel)).volts[channel] ?? 0;
    await session.off();
    if (own > loadedVolts.most) continue;
    if (own < loadedVolts.least) {
      const words = `Channel ${channel} is shorted to ground (${own.toFixed(2)} V); it was not driven.`;
      items.push({
        id: `load-${channel}`,
        verdict: "fail",
        words,
        lookAt: "The far socket's wiring, and this channel's pin.",
      });
      continue;
    }
    loaded.push(channel);
    stopIfCancelled();
    items.push(judged(channel, await driveOnce(session, channel)));
  }
  const [first] = loaded;
  if (first === undefined) {
    const words = "No load was seen on any channel.";
    return [
      ...items,
      {
        id: "loads",
        verdict: "fail",
        words,
        lookAt: "Whether the far socket with its 47 Ω resistors is plugged into the near connector.",
      },
    ];
  }
  stopIfCancelled();
  await setLimit(lowTripAmps);
  stopIfCancelled();
  const { end, amps } = await driveOnce(session, first);
  items.push(
    testedItem(
      "slow-limit",
      end === "slow-trip",
      end === "slow-trip"
        ? `The slow limit, set to ${lowTripAmps} A, ended the drive of channel ${first}.`
        : `The slow limit was set to ${lowTripAmps} A, but the drive of channel ${first} went on (${end}, ${amps.toFixed(2)} A).`,
      "The ×20 amplifier and its way to PC2. Do not use this bench before it is mended.",
    ),
  );
  return items;
}

function judged(channel: number, drive: Awaited<ReturnType<BenchSession["drive"]>>): SelfTestItem {
  const { end, amps, volts, supplyVolts } = drive;
  const pinVolts = volts[channel] ?? 0;
  const wanted = pinVolts / loadOhms;
  const sourceOhms = amps > 0 ? (supplyVolts - pinVolts) / amps : Number.POSITIVE_INFINITY;
  const ended = end === "settled" || end === "time";
  const isRight = ended && Math.abs(amps / wanted - 1) <= loadTolerance;
  const words = `Channel ${channel} gives ${amps.toFixed(2)} A at ${pinVolts.toFixed(2)} V into ${loadOhms} Ω (${wanted.toFixed(2)} A expected)${ended ? "" : `; ended by ${end}`}.`;
  if (isRight && sourceOhms > mostSourceOhms) {
    return {
      id: `load-${channel}`,
      verdict: "fail",
      words: `${words} ${(supplyVolts - pinVolts).toFixed(2)} V are lost on the way.`,
      lookAt: "This channel's P-MOSFET and its gate drive; if all channels lose as much, fuse holder, relay and shunt.",
    };
  }
  const lookAt =
    pinVolts < 1
      ? "This channel's P-MOSFET, its level shifter and its 595 output."
      : "The shunt, its two sense wires, the ×20 amplifier's gain resistors, and the far socket's resistor.";
  return testedItem(`load-${channel}`, isRight, words, lookAt);
}
