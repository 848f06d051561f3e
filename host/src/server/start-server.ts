import { readFile } from "node:fs/promises";
import { createServer, type Server as HttpServer } from "node:http";
import type { AddressInfo } from "node:net";
import { homedir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import express from "express";
import { Server } from "socket.io";
import { defaultStorePath } from "../records/store/open-database.js";
import { type Access, loopbackAccess, mayEnter } from "./access.js";
import { Attendance } from "./attendance.js";
import { type BenchSource, machineBenches } from "./bench-source.js";
import { documentRoutes } from "./document-routes.js";
import { pageHeaders } from "./page-headers.js";
import { PlanShelf } from "./plan-shelf.js";
import { OpenStore } from "./records/open-store.js";
import { RecordsDesk } from "./records/records-desk.js";
import { recordsRoutes } from "./records/records-routes.js";
import { admit, type DashboardServer } from "./socket-door.js";
import { Workbench } from "./workbench.js";

export interface ServerOptions {
  /** TCP port on the loopback address; 0 takes any free one. */
  readonly port: number;
  /** A person's own plans; `~/.pinwalk/plans` unless given. */
  readonly plansDir?: string;
  /** The record store's file; made when the first record is kept. `PINWALK_STORE` or `~/.pinwalk` unless given. */
  readonly recordsPath?: string;
  /** Plans that came with the program. */
  readonly samplesDir?: string;
  /** The built page. */
  readonly pageDir?: string;
  /** Pace of the virtual bench: `real` for people. */
  readonly pace?: "real" | "fast";
  /** Where benches come from, if not from this machine. */
  readonly benches?: BenchSource;
  /** How long a walk goes on when the last browser has gone; 2000 ms unless given. */
  readonly graceMs?: number;
}

export interface RunningServer {
  readonly url: string;
  /** Ends a walk with all outputs off, then the server. */
  close(): Promise<void>;
}

const loopback = "127.0.0.1";
const repository = (path: string) => fileURLToPath(new URL(`../../../${path}`, import.meta.url));
/** A plan file at its greatest, with room for the frame around it. */
const mostMessageBytes = 300_000;

/** Starts the dashboard's server on the loopback address. Rejects with the system's error where the port is taken. */
export async function startServer(options: ServerOptions): Promise<RunningServer> {
  const { pace = "real", benches = machineBenches(pace), graceMs = 2000 } = options;
  const plans = new PlanShelf(
    options.samplesDir ?? repository("fixtures/plans"),
    options.plansDir ?? join(homedir(), ".pinwalk", "plans"),
  );
  await plans.load();

  const version = await ownVersion();

  const http = createServer();
  const port = await listen(http, options.port);
  const access = loopbackAccess(port);
  const workbench = new Workbench(version, benches, plans, {
    onChanged: (sections) => sockets.emit("changed", sections),
    onSamples: (batch) => sockets.emit("live", batch),
    onStrip: (batch) => sockets.emit("strip", batch),
  });
  const records = new RecordsDesk(workbench, new OpenStore(options.recordsPath ?? defaultStorePath(), version));
  // Before the socket server, which takes its own requests out of the others.
  http.on("request", pages(access, workbench, records, options.pageDir ?? repository("dashboard/dist")));
  const sockets: DashboardServer = new Server(http, {
    transports: ["websocket"],
    serveClient: false,
    maxHttpBufferSize: mostMessageBytes,
    // A phone that falls asleep without a word is missed within this time.
    pingInterval: 2000,
    pingTimeout: 3000,
    allowRequest: (request, answer) => answer(null, mayEnter(request.headers, access)),
  });
  const attendance = new Attendance(graceMs, () => workbench.stopWalk("nobody-left"));
  sockets.on("connection", (socket) => {
    socket.on("disconnect", attendance.enter());
    admit(socket, workbench);
  });
  // A search never rejects; what it finds, everybody is told.
  void workbench.refresh();

  return {
    url: `http://${loopback}:${port}`,
    close: async () => {
      attendance.close();
      await workbench.close();
      await sockets.close();
      http.closeAllConnections();
      await records.close();
    },
  };
}

function pages(access: Access, workbench: Workbench, records: RecordsDesk, pageDir: string): express.Express {
  const app = express();
  app.disable("x-powered-by");
  app.use(pageHeaders(access));
  app.use((request, response, next) => {
    if (mayEnter(request.headers, access)) next();
    else response.status(403).type("text").send("This dashboard answers on its own address alone.");
  });
  app.use("/documents", documentRoutes(workbench));
  app.use("/records", recordsRoutes(records));
  // The names of assets carry a hash of what is in them.
  app.use("/assets", express.static(join(pageDir, "assets"), { immutable: true, maxAge: "1y" }));
  app.use(
    express.static(pageDir, {
      cacheControl: false,
      setHeaders: (response) => response.set("Cache-Control", "no-cache"),
    }),
  );
  app.use((_request, response) => {
    response.status(404).type("text").send("Nothing is here. If the dashboard is missing, build it: npm run build");
  });
  return app;
}

/** Resolves with the port that was taken. */
function listen(http: HttpServer, port: number): Promise<number> {
  return new Promise((resolve, reject) => {
    http.once("error", reject);
    http.listen(port, loopback, () => {
      http.off("error", reject);
      resolve((http.address() as AddressInfo).port);
    });
  });
}

async function ownVersion(): Promise<string> {
  const text = await readFile(repository("host/package.json"), "utf8");
  const { version } = JSON.parse(text) as { version?: string };
  return version ?? "";
}
