import { readFileSync } from "node:fs";
import { type BenchLine, decodeLine, type Push } from "@pinwalk/firmware-protocol/bench-line.js";
import type { RequestFields, RequestName } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { LineSplitter } from "@pinwalk/firmware-protocol/line-splitter.js";
import { encodeRequest } from "@pinwalk/firmware-protocol/request-line.js";
import { EmulatedBench } from "@pinwalk/host/bench/virtual/emulated-bench.js";
import type { OutputState } from "@pinwalk/host/bench/virtual/output-log.js";
import { LoadedSide } from "./loaded-side.js";

/** The committed image, or the one that PINWALK_IMAGE names: a firmware broken on purpose has to fail these tests. */
export const imageHex = readFileSync(
  process.env.PINWALK_IMAGE ?? new URL("../../firmware-protocol/firmware/image/pinwalk-bench.hex", import.meta.url),
  "utf8",
);

/** What a test needs of a bench: bytes in, bytes out, time. */
export interface Machine {
  readonly nowMs: number;
  readonly outputs: { readonly entries: readonly OutputState[]; readonly last: OutputState };
  readonly bytesWaiting: number;
  send(bytes: Uint8Array | string): void;
  takeSent(): Uint8Array;
  runUntilMs(untilMs: number): void;
}

export type Answer = Extract<BenchLine, { kind: "reply" | "refusal" }>;
type Heard = { readonly atMs: number; readonly push: Push };

const ANSWER_WITHIN_MS = 600;
const STEP_MS = 1;

/** The firmware on the emulated bench with loads on its channels, one request at a time. */
export class AskedBench<M extends Machine = EmulatedBench> {
  readonly pushes: Heard[] = [];
  readonly #lines = new LineSplitter(200);
  readonly #answers = new Map<number, Answer>();
  #tag = 0;
  /** A line that could not be read: only a reset may have cut it. */
  #cutShort: string | undefined;

  constructor(
    readonly machine: M,
    readonly side: LoadedSide,
  ) {}

  static start(options: { readonly ambientC?: number; readonly eeprom?: Uint8Array } = {}): AskedBench {
    const side = new LoadedSide();
    const bench = new AskedBench(new EmulatedBench({ imageHex, side, ...options }), side);
    bench.run(60);
    return bench;
  }

  get nowMs(): number {
    return this.machine.nowMs;
  }

  /** Runs on and takes down what is said meanwhile. */
  run(milliseconds: number): void {
    const end = this.nowMs + milliseconds;
    // Less than a cycle is nothing: a moment in milliseconds need not be a whole cycle.
    while (end - this.nowMs > 1e-6) this.#step(Math.min(end, this.nowMs + STEP_MS));
  }

  /** Runs on while the host keeps saying something, as a living host does. */
  runTalking(milliseconds: number): void {
    const end = this.nowMs + milliseconds;
    while (end - this.nowMs > 1e-6) {
      this.ask("ping", {});
      this.run(Math.min(250, Math.max(0, end - this.nowMs)));
    }
  }

  /** Sends a request; the answer comes later. Returns its tag. */
  send<Name extends RequestName>(name: Name, fields: RequestFields[Name]): number {
    this.#tag = (this.#tag + 1) & 0xff;
    this.machine.send(encodeRequest(this.#tag, name, fields));
    return this.#tag;
  }

  /** Sends raw bytes and runs until the last of them has arrived; returns that moment. */
  sendRaw(bytes: string): number {
    this.machine.send(bytes);
    const end = this.nowMs + 100;
    while (this.machine.bytesWaiting > 0 && this.nowMs < end) this.#step(this.nowMs + 0.02);
    return this.nowMs;
  }

  /** The answer to a request, waited for. */
  ask<Name extends RequestName>(name: Name, fields: RequestFields[Name]): Answer {
    return this.answerTo(this.send(name, fields));
  }

  hasAnswer(tag: number): boolean {
    return this.#answers.has(tag);
  }

  answerTo(tag: number): Answer {
    const end = this.nowMs + ANSWER_WITHIN_MS;
    while (this.nowMs < end) {
      const answer = this.#answers.get(tag);
      this.#answers.delete(tag);
      if (answer) return answer;
      this.#step(this.nowMs + STEP_MS);
    }
    throw new Error(`no answer under tag ${tag}`);
  }

  /** The fields of the reply; throws at a refusal. */
  get<Name extends RequestName>(name: Name, fields: RequestFields[Name]): Extract<Answer, { name: Name }>["fields"] {
    const answer = this.ask(name, fields);
    if (answer.kind === "reply" && answer.name === name) return answer.fields as never;
    throw new Error(`${name} was answered by ${JSON.stringify(answer)}`);
  }

  /** Roles as the tests use them: channels 0 to 6 wired, 5 never driven, 6 on ground; and armed. */
  arm(): void {
    this.get("roles", { used: 0x7f, senseOnly: 0x20, ground: 0x40 });
    this.get("arm", {});
  }

  /** Runs until the named push, at most so long; the host keeps talking if asked to. */
  await<Name extends Push["name"]>(
    name: Name,
    withinMs: number,
    talking = true,
  ): { readonly atMs: number; readonly fields: Extract<Push, { name: Name }>["fields"] } {
    const from = this.pushes.length;
    const end = this.nowMs + withinMs;
    let talkAt = this.nowMs + 250;
    while (this.nowMs < end) {
      const heard = this.pushes.slice(from).find(({ push }) => push.name === name);
      if (heard) return { atMs: heard.atMs, fields: heard.push.fields as never };
      if (talking && this.nowMs >= talkAt) {
        this.send("ping", {});
        talkAt = this.nowMs + 250;
      }
      this.#step(this.nowMs + STEP_MS);
    }
    throw new Error(`no push ${name} within ${withinMs} ms`);
  }

  /** Names of the pushes since the given index of `pushes`. */
  pushNames(since = 0): string[] {
    return this.pushes.slice(since).map(({ push }) => push.name);
  }

  /** Drives a channel and lets it be on for a while. */
  drive(channel: number, onForMs = 40): number {
    const { measurement } = this.get("drive", { channel, most: 10_000 });
    this.run(onForMs);
    return measurement;
  }

  get isOff(): boolean {
    const { relayClosed, driveMask, lowMask } = this.machine.outputs.last;
    return !relayClosed && driveMask === 0 && lowMask === 0;
  }

  /** When everything was off last, milliseconds: the last entry of the log that is off after one that is not. */
  get offSinceMs(): number {
    if (!this.isOff) return Number.NaN;
    const { entries } = this.machine.outputs;
    const before = entries.findLastIndex((entry) => entry.relayClosed || entry.driveMask !== 0 || entry.lowMask !== 0);
    return entries[before + 1]?.atMs ?? 0;
  }

  #step(untilMs: number): void {
    this.machine.runUntilMs(untilMs);
    for (const line of this.#lines.push(this.machine.takeSent())) {
      if (line.kind === "long") throw new Error("the bench sent a line that is too long");
      // A greeting begins with a line feed, so that what a reset has cut short stands in a line of its own.
      if (line.bytes.length === 0) continue;
      const said = decodeLine(line.bytes);
      if (this.#cutShort !== undefined && !(said.kind === "push" && said.name === "hello")) {
        throw new Error(`the bench said ${this.#cutShort}`);
      }
      this.#cutShort = undefined;
      if (said.kind === "reply" || said.kind === "refusal") this.#answers.set(said.tag, said);
      else if (said.kind === "push") this.pushes.push({ atMs: this.nowMs, push: said });
      else this.#cutShort = Buffer.from(line.bytes).toString("latin1");
    }
  }
}

/** Most channels, drive and low-current together, that were on at one moment. */
export function mostChannelsOn(entries: readonly OutputState[]): number {
  return Math.max(...entries.map(({ driveMask, lowMask }) => bits(driveMask) + bits(lowMask)));
}

function bits(mask: number): number {
  return mask === 0 ? 0 : (mask & 1) + bits(mask >>> 1);
}
