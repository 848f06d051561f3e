import { request } from "node:http";
import { lanAddresses } from "@pinwalk/host/server/access/lan-addresses.js";
import { describe } from "vitest";
import { machineWithPorts } from "./bench-on-a-port.js";
import { serveForTest } from "./serve-for-test.js";
import { WorkbenchClient } from "./workbench-client.js";

/** This machine's own address on a network: who comes by it is a stranger to the server, as a second machine would be. */
export const lanAddress = lanAddresses()[0];

/** Tests that need a network address; left out, by name, on a machine that has none. */
export function describeLan(title: string, tests: () => void): void {
  describe.skipIf(lanAddress === undefined)(
    lanAddress === undefined ? `${title} (needs an address on a network)` : title,
    tests,
  );
}

export interface Answer {
  readonly status: number;
  readonly headers: Readonly<Record<string, string | string[] | undefined>>;
  readonly text: string;
}

/** One request with exactly these headers. */
export function ask(
  url: string,
  options: { readonly method?: string; readonly headers?: Record<string, string>; readonly body?: unknown } = {},
): Promise<Answer> {
  const body = options.body === undefined ? undefined : JSON.stringify(options.body);
  const json = body === undefined ? {} : { "content-type": "application/json" };
  return new Promise((resolve, reject) => {
    request(url, { method: options.method ?? "GET", headers: { ...json, ...options.headers } }, (answer) => {
      let text = "";
      answer.setEncoding("utf8");
      answer.on("data", (piece) => {
        text += piece;
      });
      answer.on("end", () => resolve({ status: answer.statusCode ?? 0, headers: answer.headers, text }));
    })
      .on("error", reject)
      .end(body);
  });
}

/** A server that answers on the network too: `url` at the computer itself, `lan` as everybody else sees it. */
export async function serveOnLan(options: Parameters<typeof serveForTest>[0] = {}) {
  const served = await serveForTest({ benches: machineWithPorts(), ...options, lan: [lanAddress ?? ""] });
  return { ...served, lan: served.lanUrls[0] ?? "" };
}

export async function makeCode(url: string, role: "watch" | "control", handOver = false): Promise<string> {
  const { text } = await ask(`${url}/access/codes`, { method: "POST", body: { name: "Phone", role, handOver } });
  return (JSON.parse(text) as { code: string }).code;
}

/** Pairs as a phone does; the header that it sends from then on. */
export async function pair(served: { url: string; lan: string }, role: "watch" | "control", handOver = false) {
  const code = await makeCode(served.url, role, handOver);
  const answer = await ask(`${served.lan}/access/pair`, { method: "POST", body: { code } });
  const [cookie] = answer.headers["set-cookie"] ?? [];
  if (cookie === undefined) throw new Error(`not paired: ${answer.status} ${answer.text}`);
  return { cookie: cookie.split(";")[0] ?? "" };
}

export async function openPaired(
  served: { url: string; lan: string },
  role: "watch" | "control",
  handOver = false,
): Promise<WorkbenchClient> {
  const client = new WorkbenchClient(served.lan, await pair(served, role, handOver));
  await client.until(() => true);
  return client;
}

/** Whether a socket is let in. */
export function letsIn(url: string, headers: Record<string, string>): Promise<boolean> {
  const client = new WorkbenchClient(url, headers);
  return new Promise((resolve) => {
    const end = (answer: boolean) => {
      client.close();
      resolve(answer);
    };
    client.socket.on("connect", () => end(true));
    client.socket.on("connect_error", () => end(false));
  });
}
