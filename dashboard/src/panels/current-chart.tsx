import { useSignalEffect } from "@preact/signals";
import { Chart, LinearScale, LineController, LineElement, PointElement } from "chart.js";
import { useEffect, useRef } from "preact/hooks";
import { bandPainter, chartColours } from "../drawing/band-painter.js";
import { traceEdition, traceOf } from "../live/traces.js";
import { systemDark, theme } from "../theme.js";
import { ampsText } from "../words/amounts.js";

Chart.register(LineController, LineElement, LinearScale, PointElement);

interface CurrentChartProps {
  readonly pin: string;
  readonly low: number;
  readonly high: number;
  readonly settledAmps: number | null;
}

/** The inrush of a cold filament would flatten everything else, so samples this early do not set the scale. */
const inrushMs = 120;

/** Current over time of one drive, with the expected band behind the line. */
export function CurrentChart({ pin, low, high, settledAmps }: CurrentChartProps) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const chart = useRef<Chart<"line", { x: number; y: number }[]> | null>(null);

  useEffect(() => {
    if (!canvas.current) return;
    const colours = chartColours();
    const made = new Chart<"line", { x: number; y: number }[]>(canvas.current, {
      type: "line",
      data: { datasets: [{ data: [], borderColor: colours.line, borderWidth: 3, pointRadius: 0, tension: 0 }] },
      options: {
        animation: false,
        parsing: false,
        normalized: true,
        maintainAspectRatio: false,
        events: [],
        scales: {
          x: {
            type: "linear",
            min: 0,
            ticks: { color: colours.text, font: { size: 14 }, maxTicksLimit: 6, callback: (ms) => `${ms} ms` },
            grid: { color: colours.grid },
            border: { color: colours.line },
          },
          y: {
            min: 0,
            ticks: {
              color: colours.text,
              font: { size: 14 },
              maxTicksLimit: 6,
              callback: (amps) => `${Number(Number(amps).toFixed(3))} A`,
            },
            grid: { color: colours.grid },
            border: { color: colours.line },
          },
        },
      },
      plugins: [bandPainter(low, high, colours)],
    });
    chart.current = made;
    draw(made, pin, high);
    return () => {
      made.destroy();
      chart.current = null;
    };
    // The colours are read from the page when the chart is made, so a change of theme makes it anew.
  }, [pin, low, high, theme.value, systemDark.value]);

  useSignalEffect(() => {
    if (traceEdition.value >= 0 && chart.current) draw(chart.current, pin, high);
  });

  const said = settledAmps === null ? "not settled yet" : `settled at ${ampsText(settledAmps, high)}`;
  return (
    <div class="current-chart">
      <canvas ref={canvas} role="img" aria-label={`Current of pin ${pin} over time, ${said}`} />
    </div>
  );
}

function draw(chart: Chart<"line", { x: number; y: number }[]>, pin: string, high: number): void {
  const trace = traceOf(pin);
  const points = trace ? trace.atMs.map((x, index) => ({ x, y: trace.amps[index] ?? 0 })) : [];
  const dataset = chart.data.datasets[0];
  const { x, y } = chart.options.scales ?? {};
  if (!dataset || !x || !y) return;
  dataset.data = points;
  const last = points.at(-1)?.x ?? 0;
  x.max = Math.max(400, Math.ceil(last / 100) * 100);
  const steady = points.filter((point) => point.x >= inrushMs).map((point) => point.y);
  y.max = roundUp(Math.max(high * 1.5, ...steady.map((amps) => amps * 1.15), 0.05));
  chart.update("none");
}

/** The next of 1, 2, 2.5, 5 times a power of ten. */
function roundUp(value: number): number {
  const power = 10 ** Math.floor(Math.log10(value));
  const step = [1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10].find((times) => times * power >= value) ?? 10;
  return step * power;
}
