import { encodePush } from "@pinwalk/firmware-protocol/bench-line.js";
import { packWindows } from "@pinwalk/firmware-protocol/window-packing.js";
import type { SignalWindow } from "@pinwalk/host/procedures/listening/signal-window.js";
import type { ManualClock } from "../link/manual-clock.js";
import { ScriptedBench } from "../link/scripted-bench.js";

/** What a watch of this bench shows. */
export interface Played {
  readonly windows: readonly SignalWindow[];
  readonly amps?: number;
  readonly nearVolts?: number;
  readonly gaps?: readonly { readonly atMs: number; readonly lengthMs: number }[];
}

const windowsPerBlock = 16;

/** A bench whose watches play what a test has prepared, 16 windows at a time, each when its time has come. */
export class PlayingBench extends ScriptedBench {
  /** Numbers of blocks that get lost on the line. */
  lostBlocks: ReadonlySet<number> = new Set();
  readonly watches: {
    readonly channel: number;
    readonly mode: string;
    readonly what: string;
    readonly below: number;
  }[] = [];

  constructor(
    readonly manual: ManualClock,
    play: (channel: number) => Played,
  ) {
    super(manual);
    this.onRequest = (request) => {
      if (request.name !== "watch") return "answered";
      this.watches.push(request.fields);
      // The answer comes first: it is sent when this returns.
      const { channel } = request.fields;
      manual.after(0, () => this.#play(play(channel), this.watches.length));
      return "answered";
    };
  }

  #play({ windows, amps = 0, nearVolts = 0, gaps = [] }: Played, watch: number): void {
    const mine = (run: () => void) => () => {
      if (this.drivenChannel !== undefined && this.watches.length === watch) run();
    };
    for (let first = 0; first < windows.length; first += windowsPerBlock) {
      const block = windows.slice(first, first + windowsPerBlock);
      if (this.lostBlocks.has(first / windowsPerBlock)) continue;
      const last = block.at(-1);
      const endMs = last === undefined ? 0 : last.atMs + last.lengthMs;
      this.manual.after(
        endMs,
        mine(() =>
          this.say(
            encodePush("windows", {
              measurement: this.measured,
              first,
              current: Math.round(amps * 1000),
              near: Math.round(nearVolts * 1000),
              windows: packWindows(
                block.map(({ minVolts, meanVolts, maxVolts, rises = 0 }) => ({
                  least: Math.max(0, minVolts) * 1000,
                  mean: Math.max(0, meanVolts) * 1000,
                  greatest: Math.max(0, maxVolts) * 1000,
                  edges: rises,
                })),
              ),
            }),
          ),
        ),
      );
    }
    for (const { atMs, lengthMs } of gaps) {
      const push = { measurement: this.measured, at: Math.round(atMs * 10), length: Math.round(lengthMs * 10) };
      this.manual.after(
        atMs + lengthMs,
        mine(() => this.say(encodePush("gap", push))),
      );
    }
  }

  /** Number of the newest measurement: this bench begins each session with 1. */
  get measured(): number {
    return this.watches.length;
  }
}
