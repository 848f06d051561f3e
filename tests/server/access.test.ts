import { request } from "node:http";
import { connect } from "node:net";
import { networkInterfaces } from "node:os";
import { expect, test } from "vitest";
import { machineWithPorts } from "./bench-on-a-port.js";
import { serveForTest } from "./serve-for-test.js";
import { WorkbenchClient } from "./workbench-client.js";

const benches = machineWithPorts();

function statusFor(url: string, headers: Record<string, string>): Promise<number | undefined> {
  return new Promise((resolve, reject) => {
    request(url, { headers }, (answer) => {
      answer.resume();
      resolve(answer.statusCode);
    })
      .on("error", reject)
      .end();
  });
}

function connects(client: WorkbenchClient): Promise<boolean> {
  return new Promise((resolve) => {
    client.socket.on("connect", () => resolve(true));
    client.socket.on("connect_error", () => resolve(false));
  });
}

test("a request under a foreign name is refused, so that no name pointed here afterwards gets in", async () => {
  const { url } = await serveForTest({ benches });
  expect(await statusFor(url, { host: "shop.example:80" })).toBe(403);
  expect(await statusFor(url, { host: new URL(url).host })).not.toBe(403);
});

test.each([
  ["another site", "http://shop.example"],
  ["another port of this machine", "http://127.0.0.1:1"],
  ["a page without an origin", "null"],
])("a socket from %s is refused", async (_what, origin) => {
  const { url } = await serveForTest({ benches });
  const stranger = new WorkbenchClient(url, { origin });
  expect(await connects(stranger)).toBe(false);
  stranger.close();
});

test("a socket under a foreign host name is refused, one of the page itself is let in", async () => {
  const { url } = await serveForTest({ benches });
  const stranger = new WorkbenchClient(url, { host: "shop.example" });
  expect(await connects(stranger)).toBe(false);
  const own = new WorkbenchClient(url, { origin: url });
  expect(await connects(own)).toBe(true);
  stranger.close();
  own.close();
});

test("the server listens on the loopback address alone", async () => {
  const { url } = await serveForTest({ benches });
  const { hostname, port } = new URL(url);
  expect(hostname).toBe("127.0.0.1");
  const outside = Object.values(networkInterfaces())
    .flatMap((list) => list ?? [])
    .filter((one) => !one.internal && one.family === "IPv4");
  for (const { address } of outside) {
    const reached = await new Promise((resolve) => {
      const socket = connect({ host: address, port: Number(port) });
      socket.on("connect", () => resolve(true)).on("error", () => resolve(false));
      socket.on("close", () => socket.destroy());
    });
    expect(reached).toBe(false);
  }
});

test("every answer forbids foreign scripts, frames and embedding", async () => {
  const { url } = await serveForTest({ benches });
  const { headers } = await fetch(`${url}/nothing-here`);
  const policy = headers.get("content-security-policy") ?? "";
  expect(policy).toContain("default-src 'none'");
  expect(policy).toContain("script-src 'self'");
  expect(policy).toContain("frame-ancestors 'none'");
  expect(policy).not.toContain("unsafe");
  expect(headers.get("x-content-type-options")).toBe("nosniff");
});

test("a message larger than any plan ends the connection instead of filling the memory", async () => {
  const { url } = await serveForTest({ benches });
  const client = await WorkbenchClient.open(url);
  const gone = new Promise((resolve) => client.socket.on("disconnect", resolve));
  client.socket.emit("plan:upload", { fileName: "big.json", text: "x".repeat(2_000_000) }, () => undefined);
  expect(await gone).toBeDefined();
});
