import type { StripJob } from "@pinwalk/host/server/strip/strip-contract.js";
import { useSignalEffect } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import { stripEdition, stripOf } from "../live/strips.js";
import { systemDark, theme } from "../theme.js";
import { StripPainter, type StripSight } from "./strip-painter.js";
import { StripSpan } from "./strip-span.js";
import "./strip-chart.css";

interface StripChartProps extends Pick<StripSight, "kind" | "unit" | "leastTop"> {
  readonly job: StripJob;
  /** Another run has another strip. */
  readonly run: number;
  readonly pin: string;
  /** Milliseconds from edge to edge; null for everything. */
  readonly spanMs: number | null;
  readonly going: boolean;
  /** What is seen, for those who do not see it. */
  readonly label: string;
  readonly limits?: readonly number[];
}

/** A strip chart that moves as long as something goes on: one drawing a frame, whatever has arrived. */
export function StripChart({
  job,
  run,
  pin,
  spanMs,
  going,
  label,
  limits = [],
  kind,
  unit,
  leastTop,
}: StripChartProps) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const draw = useRef<() => void>(() => undefined);
  const limitsNow = useRef(limits);
  limitsNow.current = limits;

  useEffect(() => {
    const place = canvas.current;
    if (!place) return;
    const painter = new StripPainter(place);
    const span = new StripSpan(spanMs, going);
    draw.current = () => {
      const strip = stripOf(job, pin);
      const { start, windows } = span.at(strip?.end ?? 0, performance.now());
      painter.paint(strip, { kind, unit, leastTop, start, windows, limits: limitsNow.current });
    };
    const sizes = new ResizeObserver(() => {
      painter.fit();
      draw.current();
    });
    sizes.observe(place);
    painter.fit();
    draw.current();
    let frame = 0;
    const step = () => {
      draw.current();
      frame = requestAnimationFrame(step);
    };
    if (span.moves) frame = requestAnimationFrame(step);
    return () => {
      sizes.disconnect();
      cancelAnimationFrame(frame);
      draw.current = () => undefined;
    };
    // The colours are read when the painter is made, so a change of theme makes it anew.
  }, [job, run, pin, spanMs, going, kind, unit, leastTop, theme.value, systemDark.value]);

  useSignalEffect(() => {
    if (stripEdition.value >= 0) draw.current();
  });

  return (
    <div class={`strip-chart strip-${kind}`}>
      <canvas ref={canvas} role="img" aria-label={label} />
    </div>
  );
}
