import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { decodeLine } from "@pinwalk/firmware-protocol/bench-line.js";
import { LineSplitter } from "@pinwalk/firmware-protocol/line-splitter.js";
import { encodeRequest } from "@pinwalk/firmware-protocol/request-line.js";
import { unpackWindows } from "@pinwalk/firmware-protocol/window-packing.js";
import { EmulatedBench } from "@pinwalk/host/bench/virtual/emulated-bench.js";

export const title = "A watch: windows per second over the line, none lost, and every interruption of 1 ms";

const image = fileURLToPath(new URL("../../firmware-protocol/firmware/image/pinwalk-bench.hex", import.meta.url));
const gapEverySeconds = 0.0973;
const keepEveryMs = 300;

/** A conductor with a far load of 47 ohms, interrupted for 1 ms now and then, at phases that wander. */
class FlexedCable {
  from = Number.POSITIVE_INFINITY;
  #on = false;
  #volts = 0;

  switchTo({ relayClosed, driveMask, supplyVolts }) {
    this.#on = relayClosed && driveMask === 1;
    this.#volts = supplyVolts;
  }

  /** How many interruptions have begun. */
  begun(seconds) {
    return seconds < this.from ? 0 : Math.floor((seconds - this.from) / gapEverySeconds) + 1;
  }

  #flows(seconds) {
    return this.#on && !(seconds >= this.from && (seconds - this.from) % gapEverySeconds < 0.001);
  }

  nearVolts(channel, seconds) {
    return channel === 0 && this.#on ? this.#volts - 0.1 * this.shuntAmps(seconds) : 0;
  }

  farVolts(channel, seconds) {
    return channel === 0 && this.#flows(seconds) ? 0.985 * this.#volts : 0;
  }

  shuntAmps(seconds) {
    return this.#flows(seconds) ? this.#volts / 47.8 : 0;
  }

  supplyVolts() {
    return this.#volts;
  }
}

/**
 * Watches for so many emulated seconds with a host that only keeps it. Gives what came over the line and what the bench
 * itself has counted.
 */
export function watchFor(seconds, imageHex = readFileSync(image, "utf8")) {
  const side = new FlexedCable();
  const bench = new EmulatedBench({ imageHex, side });
  const splitter = new LineSplitter(200);
  const seen = {
    windows: 0,
    lost: 0,
    gaps: 0,
    shortestGapTenths: Number.POSITIVE_INFINITY,
    longestGapTenths: 0,
    bytes: 0,
  };
  let next = 0;
  let answer;
  const take = () => {
    const bytes = bench.takeSent();
    seen.bytes += bytes.length;
    for (const line of splitter.push(bytes)) {
      if (line.bytes.length === 0) continue;
      const said = decodeLine(line.bytes);
      if (said.kind === "reply") answer = said;
      else if (said.name === "windows") {
        const { length } = unpackWindows(said.fields.windows);
        seen.lost += said.fields.first - next;
        seen.windows += length;
        next = said.fields.first + length;
      } else if (said.name === "gap") {
        seen.gaps += 1;
        seen.shortestGapTenths = Math.min(seen.shortestGapTenths, said.fields.length);
        seen.longestGapTenths = Math.max(seen.longestGapTenths, said.fields.length);
      } else if (said.kind !== "push" || !["hello", "ended"].includes(said.name)) {
        throw new Error(`the bench said ${JSON.stringify(said)}`);
      }
    }
  };
  let tag = 0;
  const ask = (name, fields, milliseconds) => {
    tag = (tag + 1) & 0xff;
    answer = undefined;
    bench.send(encodeRequest(tag, name, fields));
    bench.runForMs(milliseconds);
    take();
    if (answer?.name !== name) throw new Error(`${name} was not answered`);
    return answer.fields;
  };
  bench.runForMs(60);
  ask("roles", { used: 1, senseOnly: 0, ground: 0 }, 10);
  ask("arm", {}, 120);
  seen.bytes = 0;
  const fromMs = bench.nowMs;
  const { measurement } = ask("watch", { channel: 0, mode: "drive", what: "far", below: 6_000 }, 50);
  side.from = bench.nowMs / 1000 + 0.01;
  const steady = { fromMs: bench.nowMs, fromWindows: seen.windows };
  while (bench.nowMs - fromMs < seconds * 1000) ask("keep", { measurement }, keepEveryMs);
  const perSecond = (1000 * (seen.windows - steady.fromWindows)) / (bench.nowMs - steady.fromMs);
  // Nothing is left half-way through an interruption.
  const sinceGap = ((bench.nowMs / 1000 - side.from) % gapEverySeconds) * 1000;
  if (sinceGap < 5) bench.runForMs(5 - sinceGap);
  const played = side.begun(bench.nowMs / 1000);
  const lastedMs = bench.nowMs - fromMs;
  ask("off", {}, 60);
  const counted = ask("watched", { measurement }, 10);
  return { ...seen, lostAtEnd: counted.windows - next, counted, played, lastedMs, perSecond };
}

/** `minutes` of emulated time. */
export async function run({ minutes = 10 } = {}) {
  const startMs = performance.now();
  const { counted, played, lastedMs, perSecond, ...seen } = watchFor(minutes * 60);
  const line = (name, value) => process.stdout.write(`${name.padEnd(34)}${value}\n`);
  line("emulated time", `${(lastedMs / 1000).toFixed(1)} s`);
  line("windows received", `${seen.windows}, ${perSecond.toFixed(1)} per second between the first and the last keep`);
  line("windows lost on the way", `${seen.lost + seen.lostAtEnd}, dropped by the bench ${counted.dropped}`);
  line("bytes of the bench", `${((1000 * seen.bytes) / lastedMs).toFixed(0)} per second of 25000`);
  line("interruptions of 1 ms", `${played} played, ${counted.gaps} counted, ${seen.gaps} told`);
  line("their lengths as measured", `${seen.shortestGapTenths / 10} to ${seen.longestGapTenths / 10} ms`);
  line("emulated seconds per second", (lastedMs / (performance.now() - startMs)).toFixed(1));
}

// Alone: node tests/benchmarks/watch.bench.mjs MINUTES
if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [minutes = 10] = process.argv.slice(2).map(Number);
  await run({ minutes });
}
