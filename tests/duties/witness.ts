import { decodeLine, type Push } from "@pinwalk/firmware-protocol/bench-line.js";
import { type RequestFields, type RequestName, requests } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { LineSplitter } from "@pinwalk/firmware-protocol/line-splitter.js";
import { encodeRequest } from "@pinwalk/firmware-protocol/request-line.js";
import { LoadedSide, steady } from "../firmware/loaded-side.js";
import { ValidLines } from "../line-attack/valid-lines.js";
import { DutyBench, type Hang } from "./duty-bench.js";
import type { Happening } from "./happenings.js";

/** A request as it went to the bench; `refused` once its refusal has been heard. */
export interface Asked {
  readonly name: RequestName;
  readonly tag: number;
  readonly channel: number | undefined;
  readonly most: number | undefined;
  /** Of a watch. */
  readonly mode: string | undefined;
  readonly sentAtMs: number;
  readonly arrivedAtMs: number;
  answer:
    | {
        readonly kind: "reply" | "refusal";
        readonly atMs: number;
        readonly code?: string;
        readonly measurement?: number;
      }
    | undefined;
}

/** Something that has a value from a moment on. */
export interface Since<Value> {
  readonly fromMs: number;
  readonly value: Value;
}

export interface InForce {
  readonly used: number;
  readonly marked: number;
  readonly tripAmps: number;
  readonly tripMs: number;
  readonly coolMs: number;
}

const AFTER_RESET: InForce = { used: 0, marked: 0, tripAmps: 10, tripMs: 100, coolMs: 2_000 };
const ANSWER_WITHIN_MS = 60;
const STEP_MS = 2;
/** A look at rest goes on through everything. */
const REST_OVER_MS = 150;
const HANG_OVER_MS = 600;

/** Lets a story happen to a bench and writes down everything that a judge of its duties needs. */
export class Witness {
  readonly side = new LoadedSide();
  readonly bench: DutyBench;
  readonly lines = new ValidLines();
  readonly asked: Asked[] = [];
  readonly pushes: { readonly atMs: number; readonly push: Push }[] = [];
  readonly inForce: Since<InForce>[] = [{ fromMs: 0, value: AFTER_RESET }];
  readonly loads = new Map<number, Since<number>[]>();
  readonly foreign = new Map<number, Since<number>[]>();
  readonly supply: Since<number>[] = [{ fromMs: 0, value: 12.8 }];
  readonly resetsAtMs: number[] = [];
  readonly hangs: { readonly fromMs: number; readonly toMs: number; readonly how: Hang }[] = [];
  /** Arming with a switch that conducts: how it was answered, and for which channel. */
  readonly armedStuck: { readonly channel: number; readonly answer: string; readonly atMs: number }[] = [];
  readonly stuck: { readonly fromMs: number; readonly toMs: number; readonly channel: number }[] = [];
  readonly #splitter = new LineSplitter(200);
  #tag = 0;
  #newest = 0;

  constructor(seed: number) {
    this.bench = new DutyBench(this.side, seed);
    for (let channel = 0; channel < 8; channel += 1) this.#setLoad(channel, 6);
    this.run(20);
  }

  get nowMs(): number {
    return this.bench.nowMs;
  }

  run(milliseconds: number): void {
    const end = this.nowMs + milliseconds;
    while (this.nowMs < end) {
      this.bench.runUntilMs(Math.min(end, this.nowMs + STEP_MS));
      this.#hear();
    }
  }

  happen(one: Happening): void {
    switch (one.kind) {
      case "ask":
        for (const { name, fields } of one.requests) this.ask(name, fields as never);
        break;
      case "newest":
        if (one.name === "volts") this.ask("volts", { measurement: this.#newest, side: "near" });
        else this.ask(one.name, { measurement: this.#newest });
        break;
      case "noise":
        this.#send(one.bytes);
        break;
      case "silence":
        break;
      case "talk":
        this.#talk(one.talkMs, one.keepForMs);
        break;
      case "load":
        this.#setLoad(one.channel, one.ohms);
        break;
      case "foreign":
        this.#setForeign(one.channel, one.volts);
        break;
      case "supply":
        this.supply.push({ fromMs: this.nowMs, value: one.volts });
        this.bench.setSupply(one.volts);
        break;
      case "reset":
        this.resetsAtMs.push(this.nowMs);
        this.bench.reset(one.cause);
        break;
      case "hang":
        this.#hang(one.how);
        break;
      case "arm-stuck":
        this.#armStuck(one.channel);
        break;
    }
    this.run(one.waitMs);
  }

  ask<Name extends RequestName>(name: Name, fields: RequestFields[Name]): Asked {
    this.#tag = (this.#tag + 1) % 256;
    const values = fields as { readonly channel?: number; readonly most?: number; readonly mode?: string };
    const one: Asked = {
      name,
      tag: this.#tag,
      channel: values.channel,
      most: values.most,
      mode: values.mode,
      sentAtMs: this.nowMs,
      arrivedAtMs: this.#send(encodeRequest(this.#tag, name, fields)),
      answer: undefined,
    };
    this.asked.push(one);
    return one;
  }

  #send(bytes: Uint8Array): number {
    this.bench.send(bytes);
    return this.lines.sent(bytes, this.nowMs);
  }

  #talk(milliseconds: number, keepForMs: number): void {
    const from = this.nowMs;
    while (this.nowMs < from + milliseconds) {
      if (this.nowMs - from < keepForMs) this.ask("keep", { measurement: this.#newest });
      else this.ask("ping", {});
      this.run(Math.min(200, from + milliseconds - this.nowMs));
    }
  }

  #setLoad(channel: number, ohms: number): void {
    this.side.loads.set(channel, steady(ohms));
    note(this.loads, channel, { fromMs: this.nowMs, value: ohms });
    this.bench.loadsChanged();
  }

  #setForeign(channel: number, volts: number): void {
    this.side.foreign.set(channel, volts);
    note(this.foreign, channel, { fromMs: this.nowMs, value: volts });
  }

  #hang(how: Hang): void {
    const fromMs = this.nowMs;
    this.bench.hang(how);
    this.run(HANG_OVER_MS);
    this.bench.mend();
    // What stands still with interrupts on does so until the next bite.
    this.run(HANG_OVER_MS);
    this.hangs.push({ fromMs, toMs: this.nowMs, how });
  }

  #armStuck(channel: number): void {
    this.ask("off", {});
    this.run(REST_OVER_MS);
    const cleared = this.ask("clear", {});
    this.run(10);
    if (cleared.answer?.kind !== "reply" || this.bench.outputs.last.relayClosed) return;
    this.#setForeign(channel, 0);
    const fromMs = this.nowMs;
    this.bench.setStuckChannels(1 << channel);
    const asked = this.ask("arm", {});
    this.run(ANSWER_WITHIN_MS);
    const { answer } = asked;
    this.armedStuck.push({ channel, answer: answer === undefined ? "none" : (answer.code ?? "armed"), atMs: fromMs });
    this.bench.setStuckChannels(0);
    this.stuck.push({ fromMs, toMs: this.nowMs, channel });
  }

  #hear(): void {
    for (const line of this.#splitter.push(this.bench.takeSent())) {
      // What cannot be read a reset has cut short; the greeting that follows is what counts.
      const said = line.kind === "long" ? undefined : decodeLine(line.bytes);
      if (said?.kind === "push") this.#takePush(said);
      else if (said?.kind === "reply" || said?.kind === "refusal") this.#takeAnswer(said);
    }
  }

  #takePush(push: Push): void {
    this.pushes.push({ atMs: this.nowMs, push });
    if (push.name === "hello") this.inForce.push({ fromMs: this.nowMs, value: AFTER_RESET });
  }

  #takeAnswer(said: Extract<ReturnType<typeof decodeLine>, { kind: "reply" | "refusal" }>): void {
    const asked = this.asked.findLast(({ tag }) => tag === said.tag);
    if (asked === undefined) throw new Error(`an answer to nothing that was asked: tag ${said.tag}`);
    const atMs = this.nowMs;
    if (said.kind === "refusal") {
      asked.answer = { kind: "refusal", atMs, code: said.code };
      return;
    }
    const { measurement } = said.fields as { readonly measurement?: number };
    asked.answer = { kind: "reply", atMs, ...(measurement === undefined ? {} : { measurement }) };
    if (measurement !== undefined && ["rest", "low", "drive", "hold", "watch"].includes(said.name))
      this.#newest = measurement;
    const now = this.inForce.at(-1)?.value ?? AFTER_RESET;
    if (said.name === "roles") {
      const { used, senseOnly, ground } = said.fields;
      this.inForce.push({ fromMs: atMs, value: { ...now, used, marked: senseOnly | ground } });
    } else if (said.name === "limits") {
      const { trip, tripTime, cool } = said.fields;
      this.inForce.push({
        fromMs: atMs,
        value: { ...now, tripAmps: trip / 1000, tripMs: tripTime, coolMs: cool },
      });
    }
  }
}

/** Whether a refusal of this request has to put everything off. */
export function touchesOutputs({ name }: Asked): boolean {
  return requests[name].outputs;
}

function note(book: Map<number, Since<number>[]>, channel: number, entry: Since<number>): void {
  book.set(channel, [...(book.get(channel) ?? []), entry]);
}
