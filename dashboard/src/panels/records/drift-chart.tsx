import type { ComparisonView } from "@pinwalk/host/server/records/records-contract.js";
import { Chart, LinearScale, LineController, LineElement, type Plugin, PointElement } from "chart.js";
import { useEffect, useRef } from "preact/hooks";
import { type ChartColours, chartColours } from "../../drawing/band-painter.js";
import { systemDark, theme } from "../../theme.js";
import { dayText, timeText } from "../../words/record-time.js";

Chart.register(LineController, LineElement, LinearScale, PointElement);

type Circuit = ComparisonView["circuits"][number];

/** One record's point with how far it may err either way (k = 2). */
interface DriftPoint {
  readonly x: number;
  readonly y: number;
  readonly err: number;
}

const dayMs = 86_400_000;

/** The share of the expected current where every record says it, for it has the day's supply taken out; else amps. */
function drift(circuit: Circuit): { readonly unit: "%" | "A"; readonly points: readonly DriftPoint[] } {
  const unit = circuit.points.every(({ share }) => share !== null) ? "%" : "A";
  const points = circuit.points.map(({ testedAt, amps, share }) => {
    const x = Date.parse(testedAt);
    return unit === "%" && share
      ? { x, y: share.value * 100, err: share.uncertainty * 100 }
      : { x, y: amps.value, err: amps.uncertainty };
  });
  return { unit, points };
}

/** A circuit's current over its records, each with the bar of its uncertainty. */
export function DriftChart({ circuit }: { circuit: Circuit }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const { unit, points } = drift(circuit);

  useEffect(() => {
    if (!canvas.current) return;
    const colours = chartColours();
    const [from, to] = [points[0]?.x ?? 0, points.at(-1)?.x ?? 0];
    const margin = Math.max((to - from) * 0.12, 1000);
    const made = new Chart<"line", { x: number; y: number }[]>(canvas.current, {
      type: "line",
      data: {
        datasets: [
          {
            data: points.map(({ x, y }) => ({ x, y })),
            borderColor: colours.line,
            backgroundColor: colours.line,
            borderWidth: 2,
            pointRadius: 5,
            tension: 0,
          },
        ],
      },
      options: {
        animation: false,
        parsing: false,
        normalized: true,
        maintainAspectRatio: false,
        events: [],
        scales: {
          x: {
            type: "linear",
            min: from - margin,
            max: to + margin,
            // The first and the last record are the moments that the sentence above speaks of.
            afterBuildTicks: (axis) => {
              axis.ticks = [from, to].map((value) => ({ value }));
            },
            ticks: {
              color: colours.text,
              font: { size: 13 },
              maxRotation: 0,
              autoSkip: false,
              callback: (at) => momentOnAxis(Number(at), to - from),
            },
            grid: { color: colours.grid },
            border: { color: colours.line },
          },
          y: {
            ...reach(points, unit),
            ticks: {
              includeBounds: false,
              color: colours.text,
              font: { size: 13 },
              maxTicksLimit: 6,
              callback: (value) => `${Number(Number(value).toFixed(3))} ${unit}`,
            },
            grid: { color: colours.grid },
            border: { color: colours.line },
          },
        },
      },
      plugins: [uncertaintyPainter(points, unit, colours)],
    });
    return () => made.destroy();
    // The colours are read from the page when the chart is made, so a change of theme makes it anew.
  }, [circuit, theme.value, systemDark.value]);

  return (
    <figure class="drift-chart">
      <div>
        <canvas ref={canvas} role="img" aria-label={`Current of ${circuit.pin} over its records. ${circuit.text}`} />
      </div>
      <figcaption class="sheet-note">
        {unit === "%" ? "Current against the plan's, %" : "Current, A"}; bars: uncertainty (k = 2)
      </figcaption>
    </figure>
  );
}

/** Lines of a label: within a few days the time of day tells records apart. */
function momentOnAxis(at: number, spanMs: number): string[] {
  const iso = new Date(at).toISOString();
  return spanMs < 3 * dayMs ? [dayText(iso), timeText(iso)] : [dayText(iso)];
}

/** Bars and the expected value in sight, and never so close that noise looks like drift. */
function reach(points: readonly DriftPoint[], unit: "%" | "A"): { readonly min: number; readonly max: number } {
  const expected = unit === "%" ? [100] : [];
  const low = Math.min(...expected, ...points.map(({ y, err }) => y - err));
  const high = Math.max(...expected, ...points.map(({ y, err }) => y + err));
  const least = unit === "%" ? 10 : 0.2;
  const room = Math.max((high - low) * 0.1, (least - (high - low)) / 2);
  return { min: low - room, max: high + room };
}

/** Paints the expected value as a dashed line and an error bar through each point. */
function uncertaintyPainter(points: readonly DriftPoint[], unit: "%" | "A", colours: ChartColours): Plugin<"line"> {
  return {
    id: "uncertainty",
    beforeDatasetsDraw({ ctx, chartArea, scales: { x, y } }) {
      if (!x || !y) return;
      ctx.save();
      ctx.lineWidth = 2;
      if (unit === "%") {
        ctx.strokeStyle = colours.edge;
        ctx.setLineDash([6, 5]);
        ctx.beginPath();
        ctx.moveTo(chartArea.left, y.getPixelForValue(100));
        ctx.lineTo(chartArea.right, y.getPixelForValue(100));
        ctx.stroke();
        ctx.setLineDash([]);
      }
      ctx.strokeStyle = colours.line;
      ctx.beginPath();
      for (const point of points) {
        const at = x.getPixelForValue(point.x);
        const [low, high] = [y.getPixelForValue(point.y - point.err), y.getPixelForValue(point.y + point.err)];
        ctx.moveTo(at, low);
        ctx.lineTo(at, high);
        for (const end of [low, high]) {
          ctx.moveTo(at - 6, end);
          ctx.lineTo(at + 6, end);
        }
      }
      ctx.stroke();
      ctx.restore();
    },
  };
}
