import { connect } from "node:net";
import type { PeopleView } from "@pinwalk/host/server/access/access-contract.js";
import { Allowance } from "@pinwalk/host/server/access/allowance.js";
import { lanAddresses } from "@pinwalk/host/server/access/lan-addresses.js";
import { isLoopback } from "@pinwalk/host/server/access/peer-address.js";
import { expect, test } from "vitest";
import { ask, describeLan, lanAddress, letsIn, openPaired, pair, serveOnLan } from "./lan-for-test.js";
import { slowBenches } from "./slow-benches.js";
import { WorkbenchClient } from "./workbench-client.js";

const hatchback = { planId: "sample:hatchback-round-6.json" };

/** Resolves with the next view of who is here that is as wanted. */
function peopleUntil(client: WorkbenchClient, wanted: (view: PeopleView) => boolean): Promise<PeopleView> {
  return new Promise((resolve) => {
    const look = (view: PeopleView) => {
      if (!wanted(view)) return;
      client.socket.off("people", look);
      resolve(view);
    };
    client.socket.on("people", look);
  });
}

test.each([
  ["127.0.0.1", true],
  ["127.9.9.9", true],
  ["::1", true],
  ["::ffff:127.0.0.1", true],
  ["192.0.2.2", false],
  ["::ffff:192.0.2.2", false],
  ["128.0.0.1", false],
  ["fe80::1", false],
  ["", false],
  ["127.0.0.1.example", false],
])("the address %j is this machine's own: %j", (address, own) => {
  expect(isLoopback(address)).toBe(own);
});

test("IPv4 addresses of networks are found, loopback and IPv6 left out", () => {
  const one = { netmask: "", mac: "", cidr: null };
  expect(
    lanAddresses({
      lo: [{ ...one, address: "127.0.0.1", family: "IPv4", internal: true }],
      wifi: [
        { ...one, address: "192.0.2.7", family: "IPv4", internal: false },
        { ...one, address: "2001:db8::7", family: "IPv6", internal: false, scopeid: 0 },
      ],
    }),
  ).toEqual(["192.0.2.7"]);
});

test("an allowance is used up at once and comes back with time", () => {
  const allowance = new Allowance(3, 10);
  // Whole milliseconds, of which the differences are exact.
  const start = Math.ceil(performance.now());
  expect([1, 2, 3, 4].map(() => allowance.take(start))).toEqual([true, true, true, false]);
  expect(allowance.take(start + 100)).toBe(true);
  expect(allowance.take(start + 100)).toBe(false);
});

describeLan("control over the network", () => {
  test("control is asked for, handed over and taken back; only who has it may act", async () => {
    const served = await serveOnLan();
    const computer = await WorkbenchClient.open(served.url);
    const phone = await openPaired(served, "control");
    expect(await phone.ask("plan:choose", hatchback)).toMatchObject({
      ok: false,
      code: "not-in-control",
      message: expect.stringContaining("The computer at the bench controls now"),
    });
    expect(await phone.ask("control:give", { to: "phone-1" })).toMatchObject({ code: "not-in-control" });
    const asked = peopleUntil(computer, (view) => view.askedById === "phone-1");
    await phone.must("control:ask", {});
    await asked;
    await computer.must("control:give", { to: "phone-1" });
    await phone.must("plan:choose", hatchback);
    expect(await computer.ask("plan:choose", hatchback)).toMatchObject({ code: "not-in-control" });
    expect(await computer.ask("control:give", { to: "nobody" })).toMatchObject({ code: "no-such-person" });
    await computer.must("control:give", { to: "computer" });
    expect(await phone.ask("plan:choose", hatchback)).toMatchObject({ code: "not-in-control" });
    computer.close();
    phone.close();
  });

  test("a code may hand control over as soon as it is used; requests without a socket need the seat as well", async () => {
    const served = await serveOnLan();
    const computer = await WorkbenchClient.open(served.url);
    const watcher = await pair(served, "watch");
    const phone = await openPaired(served, "control", true);
    await phone.must("plan:choose", hatchback);
    for (const [url, headers] of [
      [served.url, {}],
      [served.lan, watcher],
    ] as const) {
      const kept = await ask(`${url}/records/keep`, { method: "POST", headers, body: {} });
      expect(kept.status).toBe(403);
    }
    expect(await computer.ask("control:give", { to: "phone-1" })).toMatchObject({ code: "no-such-person" });
    computer.close();
    phone.close();
  });

  test("what is driven goes on while a phone is let in, until its page is there and has control", async () => {
    const served = await serveOnLan({ benches: slowBenches(), graceMs: 50 });
    const computer = await WorkbenchClient.open(served.url);
    await computer.must("plan:choose", hatchback);
    await computer.must("walk:start", {});
    await computer.until(({ walk }) => walk.phase === "drive");
    const headers = await pair(served, "control", true);
    const { walk } = await computer.until((state) => state.walk.state === "ended");
    expect(walk.end?.kind).toBe("judged");
    const given = peopleUntil(computer, (view) => view.controllerId === "phone-1");
    const phone = new WorkbenchClient(served.lan, headers);
    await given;
    phone.close();
    computer.close();
  });

  test("a lost controller ends what is driven, though others are still here; control is free after a while", async () => {
    const served = await serveOnLan({ benches: slowBenches(), graceMs: 50, seatGoneMs: 100 });
    const computer = await WorkbenchClient.open(served.url);
    const watcher = await openPaired(served, "watch");
    const phone = await openPaired(served, "control", true);
    await phone.must("plan:choose", hatchback);
    await phone.must("walk:start", {});
    await computer.until(({ walk }) => walk.phase === "drive" && walk.pin !== null);
    const free = peopleUntil(computer, (view) => view.free);
    phone.close();
    const { walk } = await computer.until((state) => state.walk.state === "ended");
    expect(walk.end).toEqual({
      kind: "stopped",
      message: "The walk was ended because whoever controlled it is gone. All outputs are off.",
    });
    await free;
    await computer.must("plan:choose", hatchback);
    computer.close();
    watcher.close();
  });

  test("a controller who turns to another bay ends what is driven in the one left, though a watcher still looks", async () => {
    const served = await serveOnLan({ benches: slowBenches(), graceMs: 50 });
    const first = await WorkbenchClient.open(served.url);
    const second = new WorkbenchClient(served.url, {}, { bay: "2" });
    await second.until(() => true);
    const watcher = new WorkbenchClient(served.lan, await pair(served, "watch"), { bay: "2" });
    await watcher.until(() => true);
    await second.must("plan:choose", hatchback);
    await second.must("walk:start", {});
    await watcher.until(({ walk }) => walk.phase === "drive" && walk.pin !== null);
    second.close();
    const { walk } = await watcher.until((state) => state.walk.state === "ended");
    expect(walk.end).toMatchObject({ kind: "stopped", message: expect.stringContaining("All outputs are off") });
    expect(first.socket.connected).toBe(true);
    first.close();
    watcher.close();
  });

  test("a controller who is sent away while something is driven leaves nothing on", async () => {
    const served = await serveOnLan({ benches: slowBenches() });
    const computer = await WorkbenchClient.open(served.url);
    const phone = await openPaired(served, "control", true);
    await phone.must("plan:choose", hatchback);
    await phone.must("walk:start", {});
    await computer.until(({ walk }) => walk.phase === "drive");
    await computer.must("people:end", { personId: "phone-1" });
    const { walk } = await computer.until((state) => state.walk.state === "ended");
    expect(walk.end).toMatchObject({ kind: "stopped", message: expect.stringContaining("All outputs are off") });
    computer.close();
  });

  test("a watcher drives nothing, and its stop ends what another drives", async () => {
    const served = await serveOnLan({ benches: slowBenches() });
    const computer = await WorkbenchClient.open(served.url);
    const watcher = await openPaired(served, "watch");
    await computer.must("plan:choose", hatchback);
    expect(await watcher.ask("walk:start", {})).toMatchObject({ ok: false, code: "watch-only" });
    await computer.must("walk:start", {});
    await watcher.until(({ walk }) => walk.phase === "drive");
    await watcher.must("walk:stop", {});
    const { walk } = await watcher.until((state) => state.walk.state === "ended");
    expect(walk.end).toMatchObject({ kind: "stopped", message: expect.stringContaining("stopped by hand") });
    computer.close();
    watcher.close();
  });

  test("a paired browser's secret opens nothing for a page of another origin, nor under another name", async () => {
    const served = await serveOnLan();
    const headers = await pair(served, "control", true);
    const foreign = [
      { ...headers, origin: "http://shop.example" },
      { ...headers, origin: served.url },
      { ...headers, origin: "null" },
      { ...headers, host: "shop.example" },
      { ...headers, host: new URL(served.url).host },
    ];
    for (const bad of foreign) {
      expect(await letsIn(served.lan, bad)).toBe(false);
      for (const method of ["GET", "POST"])
        expect((await ask(`${served.lan}/records/list`, { method, headers: bad })).status).toBe(403);
    }
    const atHome = { origin: served.lan };
    expect(await letsIn(served.lan, { ...headers, ...atHome })).toBe(true);
    // The computer's own page is not reached under the name that the network knows, either.
    expect(await letsIn(served.url, { host: new URL(served.lan).host })).toBe(false);
  });

  test("too many commands, connections and bytes are refused, and stop still works", async () => {
    const served = await serveOnLan();
    const phone = await openPaired(served, "control", true);
    const answers = await Promise.all(Array.from({ length: 200 }, () => phone.say("control:refuse", {})));
    expect(answers.some((answer) => !answer.ok && answer.code === "too-fast")).toBe(true);
    await phone.must("walk:stop", {});

    const large = await ask(`${served.lan}/access/pair`, { method: "POST", body: { code: "1".repeat(5000) } });
    expect(large.status).toBe(413);

    const gone = new Promise((resolve) => phone.socket.on("disconnect", resolve));
    phone.socket.emit("plan:upload", { fileName: "big.json", text: "x".repeat(2_000_000) }, () => undefined);
    await gone;

    const port = Number(new URL(served.lan).port);
    let open = 0;
    const sockets = await Promise.all(
      Array.from(
        { length: 60 },
        () =>
          new Promise<ReturnType<typeof connect>>((resolve) => {
            const socket = connect({ host: lanAddress ?? "", port });
            socket.on("error", () => undefined);
            socket.on("close", () => resolve(socket));
            // An answer shows that it was let in.
            socket.on("data", () => {
              open += 1;
              resolve(socket);
            });
            socket.write("GET /pair/ HTTP/1.1\r\nHost: nobody\r\n\r\n");
          }),
      ),
    );
    for (const socket of sockets) socket.destroy();
    expect(open).toBeGreaterThan(20);
    expect(open).toBeLessThanOrEqual(48);
  });
});
