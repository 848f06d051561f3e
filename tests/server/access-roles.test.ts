import { needOfCommand, needOfRoute } from "@pinwalk/host/server/access/needs.js";
import { commandSchemas } from "@pinwalk/host/server/contract.js";
import { bayRouters, dashboardRouters } from "@pinwalk/host/server/dashboard-routers.js";
import { expect, test } from "vitest";
import { ask, describeLan, openPaired, pair, serveOnLan } from "./lan-for-test.js";
import { WorkbenchClient } from "./workbench-client.js";

interface Route {
  readonly method: string;
  readonly path: string;
}

/** Every route of every router, with something in place of what varies. */
function allRoutes(): Route[] {
  // Nothing is asked of the parts before a request comes.
  const parts = new Proxy({} as never, { get: () => new Proxy({}, { get: () => undefined }) });
  const routers = { ...dashboardRouters(parts), ...bayRouters(parts) };
  return Object.entries(routers).flatMap(([prefix, router]) =>
    router.stack.flatMap(({ route }) => {
      const methods = (route as { methods?: Record<string, boolean> } | undefined)?.methods ?? {};
      const path = `${prefix}${route?.path ?? ""}`.replaceAll(/:\w+/g, "0".repeat(64));
      return Object.keys(methods).map((method) => ({ method: method.toUpperCase(), path }));
    }),
  );
}

const sent = ({ method }: Route) => (method === "GET" ? { method } : { method, body: {} });
const words = ({ method, path }: Route) => `${method} ${path}`;

describeLan("roles", () => {
  test("a watcher is refused every command but stop", async () => {
    const served = await serveOnLan();
    const watcher = await openPaired(served, "watch");
    const names = Object.keys(commandSchemas) as (keyof typeof commandSchemas)[];
    expect(names.length).toBeGreaterThan(20);
    const allowed: string[] = [];
    for (const name of names) {
      const answer = await watcher.say(name, {});
      if (answer.ok || (answer.code !== "watch-only" && answer.code !== "only-at-computer")) allowed.push(name);
    }
    expect(allowed).toEqual(["walk:stop"]);
    watcher.close();
  });

  test("a watcher opens no further bay, and sees those that are open", async () => {
    const served = await serveOnLan();
    const headers = await pair(served, "watch");
    const early = new WorkbenchClient(served.lan, headers, { bay: "2" });
    await new Promise((resolve) => early.socket.on("disconnect", resolve));
    const computer = new WorkbenchClient(served.url, {}, { bay: "2" });
    await computer.until(() => true);
    const late = new WorkbenchClient(served.lan, headers, { bay: "2" });
    await late.until(() => true);
    for (const client of [early, computer, late]) client.close();
  });

  test("a watcher may look at everything, and every other request is refused", async () => {
    const served = await serveOnLan();
    const headers = await pair(served, "watch");
    const routes = allRoutes();
    expect(routes.length).toBeGreaterThan(20);
    const allowed: string[] = [];
    for (const route of routes) {
      if (words(route) === "POST /access/leave") continue;
      const { status } = await ask(`${served.lan}${route.path}`, { ...sent(route), headers });
      if (status !== 403) allowed.push(words(route));
    }
    const looks = routes.filter(({ method }) => method === "GET").map(words);
    expect(allowed.sort()).toEqual([...looks, "POST /access/pair"].sort());
  });

  test("a stranger is refused every request but the code, and every socket", async () => {
    const served = await serveOnLan();
    for (const claimed of [{}, { "x-forwarded-for": "127.0.0.1", forwarded: "for=127.0.0.1", "x-real-ip": "::1" }]) {
      const let_in: string[] = [];
      for (const route of allRoutes()) {
        const { status } = await ask(`${served.lan}${route.path}`, { ...sent(route), headers: claimed });
        if (status !== 401) let_in.push(words(route));
      }
      expect(let_in).toEqual(["POST /access/pair"]);
      const client = new WorkbenchClient(served.lan, claimed);
      const told = new Promise((resolve) => {
        client.socket.on("connect_error", () => resolve("refused"));
        client.socket.onAny((event: string) => resolve(event));
      });
      expect(await told).toBe("refused");
      client.close();
    }
  });

  test("a stranger is given the page with the code, and none of the dashboard's own files", async () => {
    const served = await serveOnLan();
    const opened = await ask(`${served.lan}/`, { headers: { accept: "text/html" } });
    expect([opened.status, opened.headers.location]).toEqual([303, "/pair/"]);
    const page = await ask(`${served.lan}/pair/`);
    expect(page.status).toBe(200);
    const script = /src="(\/pair\/assets\/[^"]+\.js)"/.exec(page.text)?.[1] ?? "";
    expect((await ask(`${served.lan}${script}`)).status).toBe(200);
    const own = (await ask(`${served.url}/`)).text;
    const dashboard = /src="(\/assets\/[^"]+\.js)"/.exec(own)?.[1] ?? "none found";
    const tries = [
      dashboard,
      `/pair/..${dashboard}`,
      `/pair/%2e%2e${dashboard}`,
      "/pair/..%2findex.html",
      "//index.html",
    ];
    for (const path of tries) {
      const { status, text } = await ask(`${served.lan}${path}`);
      expect([path, status >= 400 || text === own]).toEqual([path, true]);
      expect([path, text.includes("Bench tester for tow-lighting")]).toEqual([path, false]);
    }
  });

  test("what no table names takes the seat: a new command or request is closed to watchers until somebody opens it", () => {
    expect(needOfCommand("a-new:command" as never)).toBe("seat");
    expect(needOfRoute("GET", "/a-new/list")).toBe("seat");
    expect(needOfRoute("POST", "/records/a-new-one")).toBe("seat");
    expect(needOfRoute("GET", "/RECORDS/list")).toBe("seat");
  });
});
