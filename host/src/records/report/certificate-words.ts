import type { PinwalkRecord } from "../record-schema.js";
import { functionName } from "./circuit-words.js";

/** What every certificate says of its own limits. */
export const cautions: readonly string[] = [
  "The certificate tells what was measured at the time of the test, on the circuits listed, and nothing about later.",
  "It does not replace the inspection that the law asks for; local codes and licensed practice decide.",
  "Before every tow, look whether each lamp lights when it should, with the towing vehicle connected.",
];

function numbered(count: number, one: string, many: string): string {
  return `${count} ${count === 1 ? one : many}`;
}

/** What was done, as far as the readings show that it was. */
export function whatWasTested({ plan, readings }: PinwalkRecord): readonly string[] {
  const sentences: string[] = [];
  const drives = readings.drives?.length ?? 0;
  if (readings.rest) sentences.push("With everything off, each contact was checked for foreign voltage.");
  if (readings.lowCurrent?.length)
    sentences.push(
      "A few milliamps went into each circuit first, to find broken, shorted and joined wires without risk.",
    );
  if (drives > 0)
    sentences.push(
      plan.kind === "cable"
        ? `${numbered(drives, "conductor was", "conductors were")} fed in turn with ${readings.source.volts.toFixed(1)} V ` +
            `into ${plan.farLoadOhms} Ω at the far end; current and the voltage at both ends were measured.`
        : `${numbered(drives, "circuit was", "circuits were")} fed in turn with ${readings.source.volts.toFixed(1)} V through ` +
            "the connector, as the towing vehicle would; current and voltage were measured once they had settled.",
    );
  if (readings.backFeed?.length) {
    const named = [...new Set(readings.backFeed.flatMap((one) => one.vehicle))].map((name) =>
      functionName(name).toLowerCase(),
    );
    sentences.push(
      `The vehicle's own lamps were switched on (${named.join(", ")}), and nothing may come out of the connector.`,
    );
  }
  if (readings.seen?.length) sentences.push("A person looked which lamps were lit while each circuit was fed.");
  if (readings.ambientC !== undefined) sentences.push(`The air was at ${readings.ambientC.toFixed(0)} °C.`);
  return sentences;
}

/** What the test leaves open: what could not be judged, what was not done, what a fault may be. */
export function leftOpen({ plan, readings, findings }: PinwalkRecord): readonly string[] {
  const open = findings.notJudged.map(({ why }) => why);
  if (
    plan.kind === "install" &&
    !readings.backFeed?.length &&
    !findings.notJudged.some(({ what }) => what.includes("back-feed"))
  )
    open.push("Whether the vehicle's own lamps feed back into the connector was not tested.");
  if (findings.overall === "pass") return open;
  const likely = findings.groups.filter(({ probability }) => probability >= 0.05);
  for (const { probability, text } of likely.slice(0, 5))
    open.push(`May be (${Math.round(probability * 100)} %): ${text}`);
  const [next] = findings.nextChecks;
  if (next) open.push(`Next to check: ${next.text}`);
  return open;
}
