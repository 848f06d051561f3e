import { StripRing, windowMs } from "../live/strip-ring.js";
import type { Strip } from "../live/strips.js";
import { pageColours } from "./page-colours.js";
import { type ColumnRanges, columnRanges, fillColumns } from "./strip-columns.js";

const variables = {
  line: "--ink",
  text: "--ink-soft",
  grid: "--rule",
  gap: "--fail",
  wash: "--fail-wash",
} as const;
/** Resistance has no single windows. */
const nothing = new StripRing(1);
const margin = { left: 46, right: 10, top: 18, bottom: 24 } as const;

/** What a strip chart shows. */
export interface StripSight {
  readonly kind: "value" | "ohms";
  readonly unit: string;
  /** Volts, amps or ohms at the top of the scale at the least. */
  readonly leastTop: number;
  /** Window at the left edge, and how many there are to the right one. */
  readonly start: number;
  readonly windows: number;
  /** Dashed lines across, in the unit. */
  readonly limits: readonly number[];
}

/** Paints a strip on a canvas: the scale, least to greatest in each column, every interruption marked. */
export class StripPainter {
  readonly #canvas: HTMLCanvasElement;
  readonly #context: CanvasRenderingContext2D | null;
  #colours = pageColours(variables);
  #ranges: ColumnRanges = columnRanges(1);
  #top = 0;
  #ratio = 1;

  constructor(canvas: HTMLCanvasElement) {
    this.#canvas = canvas;
    this.#context = canvas.getContext("2d");
  }

  /** After the page's colours or the canvas's place have changed. */
  fit(): void {
    const { width, height } = this.#canvas.getBoundingClientRect();
    this.#colours = pageColours(variables);
    this.#ratio = Math.min(devicePixelRatio, 2);
    this.#canvas.width = Math.max(1, Math.round(width * this.#ratio));
    this.#canvas.height = Math.max(1, Math.round(height * this.#ratio));
    this.#ranges = columnRanges(Math.max(1, Math.round((width - margin.left - margin.right) * this.#ratio)));
  }

  /** The scale grows with what is seen and never shrinks, until another strip begins. */
  forgetScale(): void {
    this.#top = 0;
  }

  paint(strip: Strip | undefined, sight: StripSight): void {
    const context = this.#context;
    if (!context) return;
    const { width, height } = this.#canvas;
    context.setTransform(1, 0, 0, 1, 0, 0);
    context.clearRect(0, 0, width, height);
    context.setTransform(this.#ratio, 0, 0, this.#ratio, 0, 0);
    if (strip) {
      const rings = sight.kind === "value" ? strip : { fine: nothing, rough: strip.ohms };
      fillColumns(rings, sight.start, sight.windows, this.#ranges);
    } else this.#ranges.greatest.fill(Number.NaN);
    this.#grow(sight);
    const area = {
      left: margin.left,
      top: margin.top,
      width: width / this.#ratio - margin.left - margin.right,
      height: height / this.#ratio - margin.top - margin.bottom,
    };
    this.#paintScale(context, area, sight);
    if (strip && sight.kind === "value") this.#paintGaps(context, area, sight, strip);
    this.#paintRanges(context, area);
  }

  #grow({ leastTop, limits }: StripSight): void {
    let most = Math.max(this.#top, leastTop * 1000);
    for (const limit of limits) most = Math.max(most, limit * 1100);
    for (const value of this.#ranges.greatest) if (value * 1.08 > most) most = value * 1.15;
    this.#top = most > this.#top ? roundUp(most / 1000) * 1000 : this.#top;
  }

  #paintScale(context: CanvasRenderingContext2D, area: Area, { unit, start, windows, limits }: StripSight): void {
    const { left, top, width, height } = area;
    const bottom = top + height;
    context.font = "13px sans-serif";
    context.fillStyle = this.#colours.text;
    context.strokeStyle = this.#colours.grid;
    context.lineWidth = 1;
    context.textBaseline = "middle";
    context.textAlign = "right";
    context.beginPath();
    for (const share of [0, 0.5, 1]) {
      const y = Math.round(bottom - share * height) + 0.5;
      context.moveTo(left, y);
      context.lineTo(left + width, y);
      context.fillText(`${Number(((share * this.#top) / 1000).toPrecision(3))} ${unit}`, left - 6, y);
    }
    const spanSeconds = (windows * windowMs) / 1000;
    const step = [1, 2, 5, 10, 15, 30, 60, 120, 300, 600].find((one) => spanSeconds / one <= width / 75) ?? 1200;
    const startSeconds = (start * windowMs) / 1000;
    context.textAlign = "center";
    context.textBaseline = "top";
    for (let second = Math.max(0, Math.ceil(startSeconds / step) * step); ; second += step) {
      const x = left + ((second - startSeconds) / spanSeconds) * width;
      if (x > left + width - 12) break;
      context.moveTo(x, bottom);
      context.lineTo(x, bottom + 4);
      context.fillText(`${second} s`, Math.max(x, left + 10), bottom + 7);
    }
    context.stroke();
    context.strokeStyle = this.#colours.text;
    context.setLineDash([5, 4]);
    context.beginPath();
    for (const limit of limits) {
      const y = Math.round(bottom - ((limit * 1000) / this.#top) * height) + 0.5;
      context.moveTo(left, y);
      context.lineTo(left + width, y);
    }
    context.stroke();
    context.setLineDash([]);
  }

  /** A flag above each interruption and its length where there is room: colour alone would not be enough. */
  #paintGaps(context: CanvasRenderingContext2D, area: Area, { start, windows }: StripSight, { gaps }: Strip): void {
    const { left, top, width, height } = area;
    const perMs = width / (windows * windowMs);
    const fromMs = start * windowMs;
    context.font = "600 12px sans-serif";
    context.textBaseline = "bottom";
    context.textAlign = "left";
    for (const [index, { atMs, lengthMs }] of gaps.entries()) {
      const x = left + (atMs - fromMs) * perMs;
      if (x < left - 1 || x > left + width) continue;
      const wide = Math.max(lengthMs * perMs, 2);
      context.fillStyle = this.#colours.wash;
      context.fillRect(x - 1, top, wide + 2, height);
      context.fillStyle = this.#colours.gap;
      context.beginPath();
      context.moveTo(x - 5, top - 8);
      context.lineTo(x + 5, top - 8);
      context.lineTo(x, top);
      context.fill();
      const words = `${lengthMs < 10 ? lengthMs.toFixed(1) : Math.round(lengthMs)} ms`;
      const nextX = left + ((gaps[index + 1]?.atMs ?? Number.POSITIVE_INFINITY) - fromMs) * perMs;
      if (Math.min(nextX, left + width) - x > 62) context.fillText(words, x + 7, top - 1);
    }
  }

  /** Soft between least and greatest, so that pulses do not fill the paper; a line along either, so that one window is seen. */
  #paintRanges(context: CanvasRenderingContext2D, area: Area): void {
    const { least, greatest } = this.#ranges;
    context.fillStyle = this.#colours.line;
    context.globalAlpha = 0.22;
    this.#paintColumns(context, area, greatest, least, 0);
    context.globalAlpha = 1;
    this.#paintColumns(context, area, greatest, joined(greatest), 2);
    this.#paintColumns(context, area, least, joined(least), 2);
  }

  /** In each column from one value to the other. */
  #paintColumns(
    context: CanvasRenderingContext2D,
    { left, top, width, height }: Area,
    from: Float32Array,
    to: Float32Array,
    thick: number,
  ): void {
    const each = width / from.length;
    const scale = height / this.#top;
    const bottom = top + height;
    context.beginPath();
    for (let column = 0; column < from.length; column += 1) {
      const one = from[column] ?? Number.NaN;
      const other = to[column] ?? Number.NaN;
      const high = Math.min(Math.max(one, other), this.#top);
      const low = Math.min(one, other);
      if (!(low <= high)) continue;
      context.rect(left + column * each, bottom - high * scale - thick / 2, each + 0.3, (high - low) * scale + thick);
    }
    context.fill();
  }
}

/** The value of the column before, where there is one: from there to its own a column's line is drawn. */
function joined(values: Float32Array): Float32Array {
  return values.map((value, column) => {
    const before = values[column - 1] ?? Number.NaN;
    return Number.isNaN(before) ? value : before;
  });
}

interface Area {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/** The next of 1, 1.5, 2, 3, 4, 5, 6, 8 times a power of ten. */
function roundUp(value: number): number {
  const power = 10 ** Math.floor(Math.log10(value));
  return ([1, 1.5, 2, 3, 4, 5, 6, 8].find((times) => times * power >= value) ?? 10) * power;
}
