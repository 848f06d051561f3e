import type { WalkEvent, WalkPhase } from "../procedures/walk-events.js";
import type { ProgressLine } from "./progress-line.js";
import type { Terminal } from "./terminal.js";

const phaseWords: Readonly<Record<WalkPhase, string>> = {
  connect: "connecting",
  rest: "looking at every pin with everything off",
  "low-current": "low-current check",
  drive: "driving",
  compare: "comparing",
};

function stepWords(phase: WalkPhase, index: number, steps: number, pin: string | undefined): string {
  return pin === undefined ? phaseWords[phase] : `${phaseWords[phase]} ${pin} (${index + 1} of ${steps})`;
}

/** Listens to a walk: a progress line while it works, and a lasting line for each pin that was left out. */
export class WalkProgress {
  readonly #line: ProgressLine;
  readonly #terminal: Terminal;
  #steps = 0;
  #step = "";

  constructor(line: ProgressLine, terminal: Terminal) {
    this.#line = line;
    this.#terminal = terminal;
  }

  hear(event: WalkEvent): void {
    switch (event.kind) {
      case "phase":
        this.#steps = event.steps;
        break;
      case "step":
        this.#step = stepWords(event.phase, event.index, this.#steps, event.pin);
        this.#line.step(this.#step);
        break;
      case "trace":
        this.#line.detail(`${this.#step}  ${event.amps.toFixed(2)} A  ${event.volts.toFixed(2)} V  ${event.atMs} ms`);
        break;
      case "skipped":
        this.#line.clear();
        this.#terminal.err(`${event.pin} was not driven: ${event.why}.`);
        break;
      case "ended":
        this.#line.clear();
        break;
      case "rest":
      case "low-current":
      case "drive":
        break;
    }
  }
}
