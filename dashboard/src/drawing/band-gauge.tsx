import { ampsText, bandText } from "../words/amounts.js";
import "./band-gauge.css";

interface BandGaugeProps {
  readonly low: number;
  readonly high: number;
  readonly amps: number | null;
  /** The large one carries the numbers of the band; the small one stands in a table beside them. */
  readonly large?: boolean;
}

/** Where a current stands against its expected band: a rail with the band as a block and the reading as a needle. */
export function BandGauge({ low, high, amps, large = false }: BandGaugeProps) {
  const full = Math.max(high * 1.6, 0.02);
  const place = (value: number) => Math.min(Math.max(value / full, 0), 1) * 100;
  const beyond = amps !== null && amps > full;
  const said = amps === null ? "no reading yet" : `${ampsText(amps, high)}, ${standing(amps, low, high)}`;
  return (
    <div
      class={`band-gauge${large ? " band-gauge-large" : ""}`}
      role="img"
      aria-label={`Expected ${bandText(low, high)}; ${said}`}
    >
      <div class="band-rail">
        <div class="band-block" style={{ left: `${place(low)}%`, width: `${place(high) - place(low)}%` }} />
        {amps !== null && (
          <div class={`band-needle${beyond ? " band-beyond" : ""}`} style={{ left: `${place(amps)}%` }} />
        )}
      </div>
      {large && (
        <div class="band-scale" aria-hidden="true">
          <span style={{ left: "0%" }}>0</span>
          <span style={{ left: `${place(low)}%` }}>{ampsText(low, high)}</span>
          <span style={{ left: `${place(high)}%` }}>{ampsText(high, high)}</span>
        </div>
      )}
    </div>
  );
}

export function standing(amps: number, low: number, high: number): "in band" | "below band" | "above band" {
  return amps < low ? "below band" : amps > high ? "above band" : "in band";
}
