import { encodeReply } from "@pinwalk/firmware-protocol/bench-line.js";
import { sealLine } from "@pinwalk/firmware-protocol/line-seal.js";
import { decodeRequest } from "@pinwalk/firmware-protocol/request-line.js";
import { findBenches } from "@pinwalk/host/bench/discovery.js";
import type { BenchPort, PortClosed } from "@pinwalk/host/bench/port.js";
import { openSerialPort } from "@pinwalk/host/bench/serial-port.js";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { needsSocat, openPtyPair, type PtyPair } from "./pty-pair.js";
import { openPtyPeer } from "./pty-peer.js";

const latin1 = (bytes: Uint8Array) => String.fromCharCode(...bytes);

describe.skipIf(needsSocat().skip)("a real serial port, over a pseudo-terminal (needs socat)", () => {
  let pair: PtyPair;
  const cleanUp: (() => unknown)[] = [];

  beforeEach(async () => {
    pair = await openPtyPair();
    cleanUp.push(() => pair.remove());
  });

  afterEach(async () => {
    for (const undo of cleanUp.splice(0).reverse()) await undo();
  });

  const peer = (answer: (line: string) => string | undefined) => {
    const opened = openPtyPeer(pair.benchPath, answer);
    cleanUp.push(() => opened.close());
  };
  const open = async (): Promise<BenchPort> => {
    const port = await openSerialPort(pair.hostPath, { baud: 250_000 });
    cleanUp.push(() => port.close());
    return port;
  };
  const closedWhy = (port: BenchPort) =>
    new Promise<PortClosed>((resolve) => {
      port.onClosed(resolve);
    });

  it("carries bytes both ways", async () => {
    peer((line) => `${line} yourself\n`);
    const port = await open();
    const heard = new Promise<string>((resolve) => {
      let text = "";
      port.onBytes((bytes) => {
        text += latin1(bytes);
        if (text.endsWith("\n")) resolve(text);
      });
    });
    port.write(Uint8Array.from("hello\n", (c) => c.charCodeAt(0)));
    expect(await heard).toBe("hello yourself\n");
  });

  it("is busy while it is open, and free again after", async () => {
    peer(() => undefined);
    const port = await open();
    await expect(openSerialPort(pair.hostPath, { baud: 250_000 })).rejects.toMatchObject({ code: "port-busy" });
    await port.close();
    const again = await open();
    expect(again.path).toBe(pair.hostPath);
  });

  it("says once that it was closed when the host closes it, however often", async () => {
    peer(() => undefined);
    const port = await open();
    const reasons: PortClosed[] = [];
    port.onClosed((why) => reasons.push(why));
    await Promise.all([port.close(), port.close()]);
    await port.close();
    port.write(Uint8Array.of(1));
    expect(reasons).toEqual([{ kind: "asked" }]);
  });

  it("says once that it is lost when the cable is pulled and something is written", async () => {
    peer(() => undefined);
    const port = await open();
    const reasons: PortClosed[] = [];
    const lost = closedWhy(port).then((why) => reasons.push(why));
    pair.pull();
    const writing = setInterval(() => port.write(Uint8Array.of(10)), 5);
    await lost;
    clearInterval(writing);
    await port.close();
    expect(reasons).toMatchObject([{ kind: "lost" }]);
  });

  it("is no bench when nothing answers", async () => {
    peer(() => undefined);
    const [found] = await findBenches({ paths: [pair.hostPath], attempts: 2 });
    expect(found).toMatchObject({ kind: "not-a-bench", message: expect.stringContaining("Nothing answers") });
  });

  it("is no bench when what answers is another machine", async () => {
    peer(() => "error: unknown command\r\n");
    const [found] = await findBenches({ paths: [pair.hostPath], attempts: 2 });
    expect(found).toMatchObject({ kind: "not-a-bench", message: expect.stringContaining("is not a bench") });
  });

  it("is a bench of another protocol version when that is what answers", async () => {
    peer((line) => latin1(sealLine(`=${line.slice(1, 3)} hello 3 2.0.0 bench-02 more fields`)));
    const [found] = await findBenches({ paths: [pair.hostPath], attempts: 2 });
    expect(found).toMatchObject({ kind: "other-protocol", protocol: 3 });
  });

  it("is busy for a search while another has it open, and nothing is sent on it", async () => {
    const heard: string[] = [];
    peer((line) => {
      heard.push(line);
      return undefined;
    });
    await open();
    const [found] = await findBenches({ paths: [pair.hostPath], attempts: 2 });
    expect(found).toMatchObject({ kind: "busy" });
    expect(heard).toEqual([]);
  });

  it("is a bench when a bench answers, and is free after the search", async () => {
    peer((line) => {
      const request = decodeRequest(Uint8Array.from(line, (c) => c.charCodeAt(0)));
      if (request.kind !== "request") return undefined;
      if (request.name === "off") return latin1(encodeReply(request.tag, "off", { state: "idle" }));
      const who = { protocol: 2, firmware: "1.0.0", serial: "bench-03", channels: 13, driveChannels: 8 };
      return latin1(encodeReply(request.tag, "hello", { ...who, calibrated: "2026-11-01", reset: "external" }));
    });
    const [found] = await findBenches({ paths: [pair.hostPath], attempts: 2 });
    expect(found).toMatchObject({ kind: "bench", identity: { serial: "bench-03", calibratedAt: "2026-11-01" } });
    expect((await open()).path).toBe(pair.hostPath);
  });
});
