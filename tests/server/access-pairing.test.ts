import { idleMs, PairedSessions } from "@pinwalk/host/server/access/paired-sessions.js";
import { PairingCodes } from "@pinwalk/host/server/access/pairing-codes.js";
import { WrongTries } from "@pinwalk/host/server/access/wrong-tries.js";
import { afterEach, expect, test, vi } from "vitest";
import { ask, describeLan, letsIn, makeCode, openPaired, pair, serveOnLan } from "./lan-for-test.js";
import { WorkbenchClient } from "./workbench-client.js";

const offer = { name: "Phone", role: "control", handOver: false } as const;
afterEach(() => void vi.useRealTimers());

const another = (code: string) => String((Number(code) + 1) % 1e8).padStart(8, "0");

test("a code works once", () => {
  const codes = new PairingCodes(() => undefined);
  const { code } = codes.make(offer);
  expect(code).toMatch(/^\d{8}$/);
  expect(codes.redeem(code)).toEqual({ kind: "paired", offer });
  expect(codes.redeem(code)).toEqual({ kind: "closed", because: "used" });
});

test("a code works for two minutes, and a new one voids it", () => {
  vi.useFakeTimers();
  const codes = new PairingCodes(() => undefined);
  const old = codes.make(offer).code;
  const { code } = codes.make(offer);
  if (old !== code) expect(codes.redeem(old)).toEqual({ kind: "wrong" });
  vi.advanceTimersByTime(119_999);
  expect(codes.state).toBe("open");
  vi.advanceTimersByTime(1);
  expect(codes.redeem(code)).toEqual({ kind: "closed", because: "expired" });
});

test("a code at which twenty guesses were made is void, even for whoever has it", () => {
  const codes = new PairingCodes(() => undefined);
  const { code } = codes.make(offer);
  for (let guess = 0; guess < 20; guess += 1) expect(codes.redeem(another(code))).toEqual({ kind: "wrong" });
  expect(codes.redeem(code)).toEqual({ kind: "closed", because: "guessed" });
});

test("an address that guessed five times waits a minute; another one need not", () => {
  const tries = new WrongTries();
  for (let guess = 0; guess < 4; guess += 1) tries.note("a", 1000);
  expect(tries.waitMs("a", 1000)).toBe(0);
  tries.note("a", 1000);
  expect(tries.waitMs("a", 2000)).toBe(59_000);
  expect(tries.waitMs("b", 2000)).toBe(0);
  expect(tries.waitMs("a", 61_000)).toBe(0);
});

test("a session ends when it was not used for twelve hours, unless a page of it is open", () => {
  let here = true;
  const sessions = new PairedSessions(() => here);
  const { session, secret } = sessions.add("Phone", "watch", "192.0.2.7");
  session.lastSeenAt = Date.now() - idleMs - 1000;
  expect(sessions.find(secret)).toBe(session);
  here = false;
  expect(sessions.find(secret)).toBeUndefined();
});

test("two phones of one name are told apart", () => {
  const sessions = new PairedSessions(() => false);
  const names = [1, 2, 3].map(() => sessions.add("Phone", "watch", "192.0.2.7").session.name);
  expect(names).toEqual(["Phone", "Phone 2", "Phone 3"]);
});

describeLan("pairing over the network", () => {
  test("whoever has the code is let in, and the secret is out of reach of scripts and other origins", async () => {
    const served = await serveOnLan();
    const code = await makeCode(served.url, "watch");
    const answer = await ask(`${served.lan}/access/pair`, { method: "POST", body: { code } });
    const [cookie = ""] = answer.headers["set-cookie"] ?? [];
    expect(cookie).toMatch(/^pinwalk_pass=[\w-]{43}; Path=\/; HttpOnly; SameSite=Strict; Max-Age=43200$/);
    const headers = { cookie: cookie.split(";")[0] ?? "" };
    expect((await ask(`${served.lan}/records/list`, { headers })).status).toBe(200);
    expect(await letsIn(served.lan, headers)).toBe(true);
    expect(await letsIn(served.lan, { cookie: `${headers.cookie.slice(0, -1)}A` })).toBe(headers.cookie.endsWith("A"));
    const again = await ask(`${served.lan}/access/pair`, { method: "POST", body: { code } });
    expect([again.status, JSON.parse(again.text).code]).toEqual([403, "no-code"]);
  });

  test("neither a code nor a secret is told to anybody else who is here", async () => {
    const served = await serveOnLan();
    const watcher = await openPaired(served, "watch");
    const told: string[] = [];
    watcher.socket.onAny((...message: unknown[]) => told.push(JSON.stringify(message)));
    const code = await makeCode(served.url, "control");
    const answer = await ask(`${served.lan}/access/pair`, { method: "POST", body: { code } });
    const secret = /pinwalk_pass=([\w-]+)/.exec(String(answer.headers["set-cookie"]))?.[1] ?? "";
    await watcher.say("walk:stop", {});
    expect(told.some((message) => message.includes('"used"'))).toBe(true);
    for (const message of told) expect(message.includes(code) || message.includes(secret)).toBe(false);
    watcher.close();
  });

  test("guessing is cut off for the address, with the time that it must wait", async () => {
    const served = await serveOnLan();
    const code = await makeCode(served.url, "control");
    const guess = (text: string) => ask(`${served.lan}/access/pair`, { method: "POST", body: { code: text } });
    for (let tries = 0; tries < 5; tries += 1) expect((await guess(another(code))).status).toBe(403);
    const locked = await guess(code);
    expect(locked.status).toBe(429);
    expect(Number(locked.headers["retry-after"])).toBeGreaterThan(50);
    expect(JSON.parse(locked.text).message).toContain("Too many wrong codes");
  });

  test.each([
    ["no digits", { code: "abcdefgh" }],
    ["too many", { code: "123456789" }],
    ["an object", { code: { $ne: "" } }],
    ["a key too many", { code: "12345678", role: "control" }],
    ["a list", []],
  ])("a code that is %s is refused", async (_what, body) => {
    const served = await serveOnLan();
    expect((await ask(`${served.lan}/access/pair`, { method: "POST", body })).status).toBe(400);
  });

  test("only the computer itself makes codes and sends people away", async () => {
    const served = await serveOnLan();
    const headers = await pair(served, "control", true);
    const body = { name: "Mine", role: "control", handOver: true };
    const made = await ask(`${served.lan}/access/codes`, { method: "POST", headers, body });
    expect([made.status, JSON.parse(made.text).code]).toEqual([403, "only-at-computer"]);
    const client = new WorkbenchClient(served.lan, headers);
    await client.until(() => true);
    expect(await client.ask("people:end", { personId: "phone-1" })).toMatchObject({ code: "only-at-computer" });
    client.close();
  });

  test("whoever is sent away is out at once, with socket and cookie", async () => {
    const served = await serveOnLan();
    const headers = await pair(served, "control");
    const phone = new WorkbenchClient(served.lan, headers);
    await phone.until(() => true);
    const gone = new Promise((resolve) => phone.socket.on("disconnect", resolve));
    const computer = await WorkbenchClient.open(served.url);
    await computer.must("people:end", { personId: "phone-1" });
    await gone;
    expect(await letsIn(served.lan, headers)).toBe(false);
    expect((await ask(`${served.lan}/records/list`, { headers })).status).toBe(401);
    computer.close();
  });

  test("whoever leaves is forgotten", async () => {
    const served = await serveOnLan();
    const headers = await pair(served, "watch");
    const left = await ask(`${served.lan}/access/leave`, { method: "POST", headers, body: {} });
    expect(String(left.headers["set-cookie"])).toContain("Max-Age=0");
    expect((await ask(`${served.lan}/access/me`, { headers })).status).toBe(401);
  });

  test("without --lan there is no code to be had", async () => {
    const served = await serveOnLan({});
    const closed = await import("./serve-for-test.js").then(({ serveForTest }) => serveForTest());
    const body = { name: "Phone", role: "watch", handOver: false };
    expect((await ask(`${closed.url}/access/codes`, { method: "POST", body })).status).toBe(409);
    expect(served.lanUrls).toHaveLength(1);
  });
});
