import type { Plugin } from "chart.js";

export interface ChartColours {
  readonly line: string;
  readonly text: string;
  readonly grid: string;
  readonly band: string;
  readonly edge: string;
}

/** The page's own colours, for a canvas that cannot read style sheets. */
export function chartColours(): ChartColours {
  const probe = document.createElement("span");
  document.body.append(probe);
  const read = (name: string) => {
    probe.style.color = `var(${name})`;
    return getComputedStyle(probe).color;
  };
  const colours = {
    line: read("--ink"),
    text: read("--ink-soft"),
    grid: read("--rule"),
    band: read("--band"),
    edge: read("--band-edge"),
  };
  probe.remove();
  return colours;
}

/** Paints the expected band behind the line, edges and name included, and says so when the line leaves the scale. */
export function bandPainter(low: number, high: number, colours: ChartColours): Plugin<"line"> {
  return {
    id: "expected-band",
    beforeDatasetsDraw(chart) {
      const { ctx, chartArea, scales } = chart;
      const y = scales.y;
      if (!y) return;
      const top = y.getPixelForValue(Math.min(high, y.max));
      const bottom = y.getPixelForValue(low);
      ctx.save();
      ctx.fillStyle = colours.band;
      ctx.fillRect(chartArea.left, top, chartArea.width, Math.max(bottom - top, 2));
      ctx.strokeStyle = colours.edge;
      ctx.lineWidth = 2;
      ctx.beginPath();
      for (const edge of [top, bottom]) {
        ctx.moveTo(chartArea.left, edge);
        ctx.lineTo(chartArea.right, edge);
      }
      ctx.stroke();
      ctx.fillStyle = colours.line;
      ctx.textAlign = "right";
      ctx.textBaseline = "bottom";
      ctx.font = "600 13px sans-serif";
      ctx.fillText("expected", chartArea.right - 6, top - 4);
      ctx.restore();
    },
    afterDatasetsDraw(chart) {
      const { ctx, chartArea, scales } = chart;
      const last = chart.data.datasets[0]?.data.at(-1);
      if (!scales.x || !scales.y || typeof last !== "object" || last === null) return;
      const { x, y } = last;
      if (typeof x !== "number" || typeof y !== "number" || y <= scales.y.max) return;
      const at = scales.x.getPixelForValue(x);
      ctx.save();
      ctx.fillStyle = colours.line;
      ctx.beginPath();
      ctx.moveTo(at, chartArea.top + 2);
      ctx.lineTo(at + 8, chartArea.top + 16);
      ctx.lineTo(at - 8, chartArea.top + 16);
      ctx.fill();
      ctx.textBaseline = "middle";
      ctx.font = "600 14px sans-serif";
      ctx.fillText(`${y.toFixed(1)} A, off the scale`, at + 14, chartArea.top + 10);
      ctx.restore();
    },
  };
}
