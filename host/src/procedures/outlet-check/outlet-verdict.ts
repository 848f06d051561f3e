/** What a pin of an outlet may lose under the far loads. Can be set otherwise. */
export interface OutletThresholds {
  /** Volts between without and with a far load. */
  readonly mostDropVolts: number;
}

/**
 * 0.5 V at the quarter of an ampere that a far load takes: 2 Ω too much, of which lamps of 2 A would not be left half their light (common
 * practice, no source).
 */
export const usualOutletThresholds: OutletThresholds = { mostDropVolts: 0.5 };

/** Ohms of a far load (build guide), beside the bench's divider. */
const loadOhms = 1 / (1 / 47 + 1 / 133_000);

/** One pin, without and with its far load. Volts while on; absent where nothing came, or that part was left out. */
export interface OutletPin {
  readonly pin: string;
  readonly openVolts?: number;
  readonly loadedVolts?: number;
  /** Of the tow vehicle's line up to the pin, from the two voltages. */
  readonly ohms?: number;
  readonly verdict: "pass" | "fail" | "unsure";
  readonly words: string;
}

/** What was heard of a pin; undefined: left out. Volts while on, 0 for nothing. */
interface OutletHeard {
  readonly pin: string;
  readonly open: number | undefined;
  readonly loaded: number | undefined;
}

/** Judges one pin by its two voltages. */
export function outletVerdict({ pin, open, loaded }: OutletHeard, { mostDropVolts }: OutletThresholds): OutletPin {
  const volts = {
    ...(open === undefined || open === 0 ? {} : { openVolts: open }),
    ...(loaded === undefined || loaded === 0 ? {} : { loadedVolts: loaded }),
  };
  const judged = (verdict: OutletPin["verdict"], words: string, ohms?: number): OutletPin => ({
    pin,
    ...volts,
    ...(ohms === undefined ? {} : { ohms }),
    verdict,
    words: `${pin}: ${words}`,
  });
  if (open === undefined || loaded === undefined)
    return judged("unsure", "was listened to only without or only with the far loads.");
  if (open === 0 && loaded === 0)
    return judged("unsure", "nothing came, with the loads or without. Was it switched on?");
  if (open === 0)
    return judged(
      "pass",
      `${loaded.toFixed(2)} V under its load only: the tow vehicle feeds this pin once it sees a lamp.`,
    );
  if (loaded === 0)
    return judged(
      "fail",
      `${open.toFixed(2)} V without a load and nothing with one: a bad contact, a broken strand, or a module that has switched off.`,
    );
  const drop = open - loaded;
  const ohms = Math.max(0, (drop / loaded) * loadOhms);
  const figures = `${open.toFixed(2)} V, ${loaded.toFixed(2)} V under its load (${ohms.toFixed(1)} Ω)`;
  return drop > mostDropVolts
    ? judged("fail", `${figures}, more than ${mostDropVolts} V apart: look for a bad contact, ground included.`, ohms)
    : judged("pass", `${figures}.`, ohms);
}
