import { encodePush, encodeRefusal, encodeReply } from "@pinwalk/firmware-protocol/bench-line.js";
import {
  channels,
  driveChannels,
  type End,
  maxRequestBytes,
  protocolVersion,
  type RefusalCode,
  type RefusalFields,
  type ReplyFields,
  type RequestName,
  type Reset,
  requests,
  type State,
  timing,
} from "@pinwalk/firmware-protocol/generated/protocol.js";
import { LineSplitter } from "@pinwalk/firmware-protocol/line-splitter.js";
import { decodeRequest, type Request } from "@pinwalk/firmware-protocol/request-line.js";
import type { BenchPort, PortClosed, Timer } from "@pinwalk/host/bench/port.js";
import type { ManualClock } from "./manual-clock.js";

type Done = "answered";

function nameOf({ item, channel }: { readonly item: string; readonly channel: number }): string {
  return `${item} ${channel}`;
}

/**
 * A bench that keeps its state as the contract says, on a clock that a test moves, with a line that a test can spoil. It knows
 * nothing of electricity: what it measures is set by hand.
 */
export class ScriptedBench implements BenchPort {
  readonly path = "scripted";
  readonly heard: Request[] = [];
  serial = "bench-01";
  latencyMs = 1;
  /** How long a drive takes to settle; longer than its time means that it never does. */
  settleMs = 40;
  millivolts: (number | undefined)[] = new Array(channels).fill(0);
  farMillivolts: (number | undefined)[] = new Array(channels).fill(undefined);
  result = { current: 2030, peak: 17_000, settle: 40, samples: 64, spread: 5, supply: 12_590 };

  /** What `watched` and `check` answer, and the constants by item and channel. */
  watched = { windows: 500, dropped: 0, gaps: 2, longest: 31, total: 42 };
  check = {
    ground: 0,
    spare: 4,
    thermistor: 2048,
    temperature: 250,
    bandgap: 1100,
    current: 10,
    peak: 50,
    supply: 12_800,
    copies: 2,
  };
  readonly constants = new Map<string, number>();
  calibrated = "-";
  /** Whether it tells what it measured before it is asked, as the contract lets it. */
  tells = false;
  revision = 0;

  /** Called for each request that could be read; `ignored` when the test has dealt with it or wants it unanswered. */
  onRequest: (request: Request) => "ignored" | Done = () => "answered";
  /** What becomes of bytes on their way; undefined when they get lost. */
  toHost: (line: Uint8Array) => Uint8Array | undefined = (line) => line;
  toBench: (line: Uint8Array) => Uint8Array | undefined = (line) => line;
  /** In which pieces a line arrives. */
  cut: (line: Uint8Array) => readonly Uint8Array[] = (line) => [line];

  relayClosed = false;
  drivenChannel: number | undefined;
  closedBy: PortClosed | undefined;
  timesClosed = 0;

  private readonly splitter = new LineSplitter(maxRequestBytes);
  private bytesListener: (bytes: Uint8Array) => void = () => undefined;
  private closedListener: (why: PortClosed) => void = () => undefined;
  private marks = { used: 0, senseOnly: 0, ground: 0 };
  private measurement = 0;
  private lastEnd: { readonly measurement: number; readonly end: End } | undefined;
  private garbledCount = 0;
  private silence: Timer | undefined;
  private driveTimer: Timer | undefined;

  constructor(readonly clock: ManualClock) {}

  write(bytes: Uint8Array): void {
    if (this.closedBy) return;
    const arriving = this.toBench(bytes);
    if (arriving) this.clock.after(this.latencyMs, () => this.take(arriving));
  }

  onBytes(listener: (bytes: Uint8Array) => void): void {
    this.bytesListener = listener;
  }

  onClosed(listener: (why: PortClosed) => void): void {
    this.closedListener = listener;
  }

  async close(): Promise<void> {
    this.timesClosed += 1;
    this.end({ kind: "asked" });
  }

  /** The cable is pulled; the bench itself goes on and falls to its own silence limit. */
  unplug(detail = "the device has gone"): void {
    this.end({ kind: "lost", detail });
  }

  reset(reset: Reset): Done {
    this.allOff();
    this.marks = { used: 0, senseOnly: 0, ground: 0 };
    this.measurement = 0;
    this.lastEnd = undefined;
    this.say(encodePush("hello", { protocol: protocolVersion, firmware: "1.0.0", serial: this.serial, reset }));
    return "answered";
  }

  pressButton(): void {
    this.say(encodePush("button", {}));
  }

  /** Ends what is driven, as a trip or a person would. */
  endDrive(end: End): void {
    if (this.drivenChannel === undefined) return;
    const volts = this.millivolts[this.drivenChannel] ?? 0;
    this.drivenChannel = undefined;
    this.driveTimer?.cancel();
    this.lastEnd = { measurement: this.measurement, end };
    if (end !== "settled" && end !== "time") this.relayClosed = false;
    if (this.tells && (end === "settled" || end === "time")) {
      this.tellVolts();
      this.say(encodePush("result", { measurement: this.measurement, end, ...this.result }));
    }
    this.say(encodePush("ended", { measurement: this.measurement, end, current: this.result.current, volts }));
  }

  private tellVolts(): void {
    for (const [side, volts] of [
      ["near", this.millivolts],
      ["far", this.farMillivolts],
    ] as const) {
      this.say(encodePush("volts", { measurement: this.measurement, side, volts }));
    }
  }

  trace(at: number, current: number, volts: number): void {
    this.say(encodePush("trace", { measurement: this.measurement, at, current, volts }));
  }

  say(line: Uint8Array): void {
    const leaving = this.toHost(line);
    if (!leaving) return;
    const pieces = this.cut(leaving);
    this.clock.after(this.latencyMs, () => {
      for (const piece of pieces) if (!this.closedBy) this.bytesListener(piece);
    });
  }

  refuse<Code extends RefusalCode>(request: Request, code: Code, fields: RefusalFields[Code]): Done {
    if (requests[request.name].outputs) this.allOff();
    this.say(encodeRefusal(request.tag, code, fields));
    return "answered";
  }

  reply<Name extends RequestName>(request: Request & { readonly name: Name }, fields: ReplyFields[Name]): Done {
    this.say(encodeReply<Name>(request.tag, request.name, fields));
    return "answered";
  }

  get state(): State {
    if (this.drivenChannel !== undefined) return "driving";
    return this.relayClosed ? "armed" : "idle";
  }

  private take(bytes: Uint8Array): void {
    for (const line of this.splitter.push(bytes)) {
      const judged = line.kind === "line" ? decodeRequest(line.bytes) : ({ kind: "garbled", why: "long" } as const);
      if (judged.kind === "garbled") {
        this.garbledCount += 1;
        this.endDrive("garbled");
        this.allOff();
        this.say(encodePush("garbled", { why: judged.why, count: this.garbledCount }));
        continue;
      }
      this.silence?.cancel();
      this.silence = this.clock.after(timing.silenceMs, () => this.fallSilent());
      if (judged.kind === "refused")
        throw new Error(`the host sent ${judged.name}, which is refused as ${judged.code}`);
      this.heard.push(judged);
      if (this.onRequest(judged) === "answered") this.answer(judged);
    }
  }

  private fallSilent(): void {
    if (!this.relayClosed) return;
    this.endDrive("silence");
    this.allOff();
    this.say(encodePush("off", { why: "silence", value: timing.silenceMs }));
  }

  private answer(request: Request): Done {
    switch (request.name) {
      case "hello":
        return this.reply(request, {
          protocol: protocolVersion,
          firmware: "1.0.0",
          serial: this.serial,
          channels,
          driveChannels,
          calibrated: this.calibrated,
          reset: "power",
        });
      case "ping":
        return this.reply(request, { uptime: Math.round(this.clock.nowMs()) });
      case "status":
        return this.reply(request, {
          state: this.state,
          supply: 12_800,
          temperature: 215,
          uptime: Math.round(this.clock.nowMs()),
          garbled: this.garbledCount,
          measurement: this.measurement,
        });
      case "limits":
        return this.reply(request, request.fields);
      case "roles":
        this.marks = {
          used: request.fields.used,
          senseOnly: this.marks.senseOnly | request.fields.senseOnly,
          ground: this.marks.ground | request.fields.ground,
        };
        return this.reply(request, this.marks);
      case "far":
        return this.reply(request, request.fields);
      case "arm":
        this.relayClosed = true;
        return this.reply(request, { supply: 12_800 });
      case "off":
        this.endDrive("asked");
        this.allOff();
        return this.reply(request, { state: this.state });
      case "rest": {
        const measurement = this.nextMeasurement();
        if (this.tells) this.tellVolts();
        return this.reply(request, { measurement, supply: 12_800 });
      }
      case "low": {
        if (!this.relayClosed) return this.refuse(request, "not-armed", {});
        const measurement = this.nextMeasurement();
        if (this.tells) this.tellVolts();
        return this.reply(request, { measurement });
      }
      case "drive":
      case "hold":
        return this.startDrive(request);
      case "keep":
        return this.reply(request, request.fields);
      case "result":
        if (this.drivenChannel !== undefined) return this.refuse(request, "busy", {});
        if (this.lastEnd?.measurement !== request.fields.measurement)
          return this.refuse(request, "stale", { measurement: this.measurement });
        return this.reply(request, { ...this.lastEnd, ...this.result });
      case "volts":
        return this.reply(request, {
          ...request.fields,
          volts: request.fields.side === "near" ? this.millivolts : this.farMillivolts,
        });
      case "watch":
        return this.startWatch(request);
      case "watched":
        if (this.drivenChannel !== undefined) return this.refuse(request, "busy", {});
        if (this.lastEnd?.measurement !== request.fields.measurement)
          return this.refuse(request, "stale", { measurement: this.measurement });
        return this.reply(request, { ...this.lastEnd, ...this.watched });
      case "check":
        return this.reply(request, this.check);
      case "constant":
        return this.reply(request, { ...request.fields, value: this.constants.get(nameOf(request.fields)) ?? 0 });
      case "stage":
        this.constants.set(nameOf(request.fields), request.fields.value);
        this.calibrated = "-";
        return this.reply(request, request.fields);
      case "serial":
        this.serial = request.fields.serial;
        return this.reply(request, request.fields);
      case "store":
        this.calibrated = request.fields.date;
        this.revision += 1;
        return this.reply(request, { date: request.fields.date, revision: this.revision });
      case "clear":
        this.allOff();
        return this.reply(request, { state: this.state });
      case "restart":
        this.reply(request, {});
        return this.reset("restart");
    }
  }

  private startDrive(request: Request & { readonly name: "drive" | "hold" }): Done {
    if (!this.relayClosed) return this.refuse(request, "not-armed", {});
    const { channel } = request.fields;
    if (this.drivenChannel !== undefined) return this.refuse(request, "busy", {});
    this.drivenChannel = channel;
    const measurement = this.nextMeasurement();
    if (request.name === "drive") {
      const { most } = request.fields;
      const settles = this.settleMs <= most;
      const end = () => this.endDrive(settles ? "settled" : "time");
      this.driveTimer = this.clock.after(settles ? this.settleMs : most, end);
    }
    return this.reply(request, { measurement });
  }

  private startWatch(request: Request & { readonly name: "watch" }): Done {
    const { channel, mode } = request.fields;
    if (mode !== "listen" && !this.relayClosed) return this.refuse(request, "not-armed", {});
    if (this.drivenChannel !== undefined) return this.refuse(request, "busy", {});
    this.drivenChannel = channel;
    return this.reply(request, { measurement: this.nextMeasurement() });
  }

  private nextMeasurement(): number {
    this.measurement += 1;
    return this.measurement;
  }

  private allOff(): void {
    this.drivenChannel = undefined;
    this.driveTimer?.cancel();
    this.relayClosed = false;
  }

  private end(why: PortClosed): void {
    if (this.closedBy) return;
    this.closedBy = why;
    this.closedListener(why);
  }
}
