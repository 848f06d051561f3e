import { encodePush, encodeRefusal, encodeReply } from "@pinwalk/firmware-protocol/bench-line.js";
import { protocolVersion } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { LineSplitter } from "@pinwalk/firmware-protocol/line-splitter.js";
import { decodeRequest } from "@pinwalk/firmware-protocol/request-line.js";
import { packWindows } from "@pinwalk/firmware-protocol/window-packing.js";
import { wallClock } from "@pinwalk/host/bench/wall-clock.js";

const windowMs = 2;
const windowsPerBlock = 16;
const volts = 12_760;
const supply = 12_800;
const identity = {
  protocol: protocolVersion,
  firmware: "1.0.0",
  serial: "fed",
  channels: 13,
  driveChannels: 8,
  calibrated: "-",
  reset: "power",
};

/**
 * A bench that costs next to nothing: it answers what a flex watch asks and sends 500 windows a second of the machine's time, with a
 * window that falls to nothing every `gapEveryMs`. So what is measured is server and page, not an emulator beside them.
 */
export class FedBenchPort {
  path = "virtual";
  clock = wallClock;
  played = 0;
  #gapEveryMs;
  #splitter = new LineSplitter(200);
  #listener = () => undefined;
  #closed = () => undefined;
  #isClosed = false;
  #measurement = 0;
  #timer;
  #sent = 0;
  #watching = false;
  #nextGapMs;

  constructor(gapEveryMs) {
    this.#gapEveryMs = gapEveryMs;
    this.#nextGapMs = gapEveryMs;
  }

  write(bytes) {
    for (const line of this.#splitter.push(bytes)) {
      const request = decodeRequest(line.bytes);
      if (request.name === "watched" && this.#watching) {
        this.#say(encodeRefusal(request.tag, "busy", {}));
        continue;
      }
      const reply = this.#answer(request);
      setTimeout(() => this.#say(encodeReply(request.tag, request.name, reply)), 1);
    }
  }

  onBytes(listener) {
    this.#listener = listener;
  }

  onClosed(listener) {
    this.#closed = listener;
  }

  async close() {
    if (this.#isClosed) return;
    this.#isClosed = true;
    clearInterval(this.#timer);
    this.#closed({ kind: "asked" });
  }

  #say(line) {
    if (!this.#isClosed) this.#listener(line);
  }

  #answer({ name, fields }) {
    switch (name) {
      case "hello":
        return identity;
      case "ping":
        return { uptime: Math.round(performance.now()) };
      case "status": {
        const uptime = Math.round(performance.now());
        return {
          state: this.#watching ? "driving" : "idle",
          supply,
          temperature: 215,
          uptime,
          garbled: 0,
          measurement: this.#measurement,
        };
      }
      case "clear":
        return { state: "idle" };
      case "arm":
        return { supply };
      case "watch":
        this.#measurement += 1;
        this.#begin();
        return { measurement: this.#measurement };
      case "off":
        this.#stop();
        return { state: "idle" };
      case "watched": {
        const gaps = this.played;
        return { ...fields, end: "asked", windows: this.#sent, dropped: 0, gaps, longest: 10, total: 10 * gaps };
      }
      default:
        return fields;
    }
  }

  #stop() {
    if (!this.#watching) return;
    this.#watching = false;
    clearInterval(this.#timer);
    const measurement = this.#measurement;
    this.#say(encodePush("ended", { measurement, end: "asked", current: 271, volts }));
  }

  #begin() {
    this.#watching = true;
    const began = performance.now();
    this.#sent = 0;
    this.#timer = setInterval(() => {
      while ((this.#sent + windowsPerBlock) * windowMs <= performance.now() - began) this.#block();
    }, 8);
  }

  #block() {
    const first = this.#sent;
    this.#sent += windowsPerBlock;
    const falls = this.#sent * windowMs > this.#nextGapMs;
    const windows = Array.from({ length: windowsPerBlock }, (_, index) => {
      const greatest = volts + 16 * Math.floor(3 * Math.random());
      const least = falls && index === 5 ? 0 : volts - 16;
      return { least, mean: volts, greatest, edges: 0 };
    });
    const measurement = this.#measurement;
    this.#say(
      encodePush("windows", { measurement, first, current: 271, near: volts + 10, windows: packWindows(windows) }),
    );
    if (!falls) return;
    this.#nextGapMs += this.#gapEveryMs;
    this.played += 1;
    this.#say(encodePush("gap", { measurement, at: (first + 5) * windowMs * 10, length: 10 }));
  }
}
