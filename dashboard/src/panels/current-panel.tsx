import type { Findings } from "@pinwalk/host/diagnosis/findings.js";
import type { PlanView, WalkView } from "@pinwalk/host/server/contract.js";
import { BandGauge, standing } from "../drawing/band-gauge.js";
import { ToneIcon } from "../drawing/icons.js";
import { WireSwatch } from "../drawing/wire-swatch.js";
import { traceEdition, traceOf } from "../live/traces.js";
import { ampsNumber, bandText, millisecondsText, voltsText } from "../words/amounts.js";
import { phaseWords } from "../words/phase-words.js";
import { fetchedPart } from "./fetched-part.js";
import { colourOf } from "./pin-colour.js";
import "./current-panel.css";

const CurrentChart = fetchedPart(async () => (await import("./current-chart.js")).CurrentChart, "current-chart");

interface CurrentPanelProps {
  readonly plan: PlanView;
  readonly walk: WalkView;
  readonly findings: Findings | null;
  readonly pin: string | null;
}

/** The current of one pin in digits that can be read across the shop, against the band that the plan expects. */
export function CurrentPanel({ plan, walk, findings, pin }: CurrentPanelProps) {
  const expected = plan.expected.find((row) => row.pin === pin);
  const progress = pin === null ? undefined : walk.pins[pin];
  const driving =
    walk.state === "running" && walk.phase === "drive" && walk.pin === pin && progress?.amps === undefined;
  const amps = progress?.amps ?? (driving && pin !== null ? lastAmps(pin) : null);
  // The findings know the bench that measured; before them the plan's own band has to do.
  const band = findings?.circuits.find((row) => row.pin === pin)?.expected ?? expected;
  const standingNow = amps === null || !band ? null : standing(amps, band.low, band.high);
  return (
    <section class="sheet current" aria-labelledby="current-title">
      <div class="current-head">
        <h2 id="current-title">
          <b>{pin ?? "–"}</b> {expected?.functionText ?? ""}
        </h2>
        {pin && <WireSwatch colour={colourOf(plan, pin)} />}
      </div>
      <div class="current-reading">
        <p class={`big-number${amps === null ? " big-none" : ""}`}>
          <span>{amps === null ? "–" : ampsNumber(amps, band?.high ?? 1)}</span>
          <i>A</i>
        </p>
        <Standing walk={walk} driving={driving} standing={standingNow} skipped={progress?.skipped} />
      </div>
      {band && (
        <>
          <p class="current-band">
            Expected <strong>{bandText(band.low, band.high)}</strong>
          </p>
          <BandGauge low={band.low} high={band.high} amps={amps} large />
          {pin && <CurrentChart pin={pin} low={band.low} high={band.high} settledAmps={progress?.amps ?? null} />}
        </>
      )}
      <dl class="facts">
        <Fact name="At rest" value={progress?.restVolts === undefined ? null : voltsText(progress.restVolts)} />
        <Fact name="Low-current check" value={progress?.lowVolts === undefined ? null : voltsText(progress.lowVolts)} />
        <Fact name="At the pin, driven" value={progress?.volts === undefined ? null : voltsText(progress.volts)} />
        <Fact
          name="Inrush peak"
          value={progress?.peakAmps === undefined ? null : `${ampsNumber(progress.peakAmps)}\u00a0A`}
        />
        <Fact
          name="Settled after"
          value={progress?.settleMs === undefined ? null : millisecondsText(progress.settleMs)}
        />
      </dl>
    </section>
  );
}

function lastAmps(pin: string): number | null {
  // Reading the edition ties this panel to the arrival of samples.
  return traceEdition.value >= 0 ? (traceOf(pin)?.amps.at(-1) ?? null) : null;
}

function Fact({ name, value }: { name: string; value: string | null }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>{value ?? "–"}</dd>
    </div>
  );
}

interface StandingProps {
  readonly walk: WalkView;
  readonly driving: boolean;
  readonly standing: ReturnType<typeof standing> | null;
  readonly skipped: string | undefined;
}

function Standing({ walk, driving, standing: now, skipped }: StandingProps) {
  if (driving)
    return (
      <p class="standing standing-live">
        <strong>Power on</strong>
        <span>settling</span>
      </p>
    );
  if (skipped)
    return (
      <p class="standing tone-unsure">
        <ToneIcon tone="unsure" size={28} />
        <strong>Not driven</strong>
        <span>{skipped}</span>
      </p>
    );
  if (now)
    return (
      <p class={`standing tone-${now === "in band" ? "pass" : "fail"}`}>
        <ToneIcon tone={now === "in band" ? "pass" : "fail"} size={28} />
        <strong>{now}</strong>
      </p>
    );
  const doing = phaseWords.find((row) => row.phase === walk.phase)?.doing ?? "";
  return <p class="standing standing-idle">{walk.state === "running" ? doing : "Not measured"}</p>;
}
