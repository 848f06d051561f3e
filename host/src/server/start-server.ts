import { readFile } from "node:fs/promises";
import { createServer, type Server as HttpServer } from "node:http";
import type { AddressInfo } from "node:net";
import { homedir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { Server } from "socket.io";
import { SerialLog } from "../bench/serial-log.js";
import { defaultStorePath } from "../records/store/open-database.js";
import { hostOf, mayEnter, OwnNames } from "./access/entry-check.js";
import { guard } from "./access/guard.js";
import { LanDoors } from "./access/lan-doors.js";
import { pageHeaders } from "./access/page-headers.js";
import { PeopleDesk } from "./access/people-desk.js";
import { bayAddress, bayOfSocket, roomOfBay } from "./bays/bay-address.js";
import { Bays, type BaysOptions } from "./bays/bays.js";
import { routesOfBay } from "./bays/routes-of-bay.js";
import { CareDocuments } from "./bench-care/care-documents.js";
import { type BenchSource, machineBenches } from "./bench-source.js";
import type { BatchKeeper } from "./cable-batch/cable-desk.js";
import { dashboardApp } from "./dashboard-app.js";
import { bayRouters, dashboardRouters } from "./dashboard-routers.js";
import { JudgingDesk } from "./judging/judging-desk.js";
import { WeighingDesk } from "./plan-drafting/weighing-desk.js";
import { PlanShelf } from "./plan-shelf.js";
import { OpenStore } from "./records/open-store.js";
import { RecordsDesk } from "./records/records-desk.js";
import { admit, type DashboardServer, tellPeople } from "./socket-door.js";
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
  /** How long a walk goes on when the last page of whoever controls has gone; 2000 ms unless given. */
  readonly graceMs?: number;
  /** How long it must have been gone before another may take control without asking; 10 s unless given. */
  readonly seatGoneMs?: number;
  /** Where readings are judged, if not in a thread of the server's own; it stays when the server ends. */
  readonly judging?: JudgingDesk;
  /** Addresses of this machine on its networks at which to answer as well; none unless given. */
  readonly lan?: readonly string[];
}

export interface RunningServer {
  readonly url: string;
  /** Where it answers on the local network. */
  readonly lanUrls: readonly string[];
  /** Ends a walk with all outputs off, then the server. */
  close(): Promise<void>;
}

const loopback = "127.0.0.1";
const repository = (path: string) => fileURLToPath(new URL(`../../../${path}`, import.meta.url));
/** A plan file at its greatest, with room for the frame around it. */
const mostMessageBytes = 300_000;

/**
 * Starts the dashboard's server on the loopback address, and on the network's where they are given. Rejects with the
 * system's error where the port is taken.
 */
export async function startServer(options: ServerOptions): Promise<RunningServer> {
  const log = new SerialLog();
  const { pace = "real", graceMs = 2000, seatGoneMs = 10_000, lan = [] } = options;
  const plans = new PlanShelf(
    options.samplesDir ?? repository("fixtures/plans"),
    options.plansDir ?? join(homedir(), ".pinwalk", "plans"),
  );
  await plans.load();

  const version = await ownVersion();

  const http = createServer({ headersTimeout: 10_000 });
  const port = await listen(http, options.port);
  const names = new OwnNames(port);
  const lanUrls = lan.map((address) => `http://${hostOf(address)}:${port}`);
  const recordsPath = options.recordsPath ?? defaultStorePath();
  const checksDir = join(dirname(recordsPath), "unfinished-checks");
  const care = new CareDocuments(join(dirname(recordsPath), "bench-care"));
  await care.load();
  const store = new OpenStore(recordsPath, version);
  const judging = options.judging ?? new JudgingDesk();
  const makeBay: BaysOptions["make"] = (number, claim) => {
    const keeper: BatchKeeper = { keep: (request) => records.keep(request), batch: (name) => records.batch(name) };
    const ownChecks = number === 1 ? checksDir : join(checksDir, `bay-${number}`);
    const benches = claim(options.benches ?? machineBenches(pace, log));
    const room = roomOfBay(number);
    const workbench = new Workbench(version, benches, plans, ownChecks, care, keeper, judging, {
      onChanged: (sections) => {
        sockets.to(room).emit("changed", sections);
        bays.changed(number, "plans" in sections);
      },
      onSamples: (batch) => sockets.to(room).emit("live", batch),
      onStrip: (batch) => sockets.to(room).emit("strip", batch),
    });
    const records = new RecordsDesk(workbench, store);
    return { number, workbench, records };
  };
  const bays = new Bays({
    make: makeBay,
    controls: (personId) => people.controls(personId),
    graceMs,
    onView: (view) => sockets.emit("bays", view),
  });
  const people = new PeopleDesk({
    addresses: lanUrls,
    graceMs,
    goneMs: seatGoneMs,
    onControllerLost: (anybodyLeft) => bays.stopAll(anybodyLeft ? "controller-lost" : "nobody-left"),
    onHandedOver: () => bays.handedOver(),
    onChanged: () => tellPeople(sockets, people),
    onEnded: (personId) => sockets.in(personId).disconnectSockets(true),
  });
  const weighing = new WeighingDesk();
  // Before the socket server, which takes its own requests out of the others.
  const app = dashboardApp({
    before: [bayAddress, pageHeaders(names), guard(names, people), routesOfBay(bays, bayRouters)],
    routers: dashboardRouters({ people, bays, log, care, plans, weighing }),
    pageDir: options.pageDir ?? repository("dashboard/dist"),
  });
  http.on("request", app);
  const sockets: DashboardServer = new Server(http, {
    transports: ["websocket"],
    serveClient: false,
    maxHttpBufferSize: mostMessageBytes,
    // A phone that falls asleep without a word is missed within this time.
    pingInterval: 2000,
    pingTimeout: 3000,
    allowRequest: (request, answer) => {
      const person = mayEnter(request, names) ? people.personOf(request) : undefined;
      answer(null, person !== undefined && people.hasRoom(person));
    },
  });
  sockets.on("connection", (socket) => {
    const number = bayOfSocket(socket.handshake.query);
    // A bay that is not there yet looks for benches: it is opened by whoever may control alone.
    const person = people.personOf(socket.request);
    const bay = person?.role === "control" ? bays.bay(number) : bays.get(number);
    if (!bay || !person) {
      // Whoever may enter is told which bays there are instead.
      if (person) socket.emit("bays", bays.view());
      socket.disconnect(true);
      return;
    }
    void socket.join(roomOfBay(bay.number));
    socket.on("disconnect", bays.shown(bay, person.id));
    socket.emit("bays", bays.view());
    admit(socket, bay.workbench, people);
  });
  const first = bays.bay(1);
  await first?.ready;
  const doors = new LanDoors(http);
  const close = async () => {
    doors.close();
    people.beginNoMore();
    await bays.close();
    await Promise.all([options.judging ? undefined : judging.close(), weighing.close()]);
    people.close();
    await sockets.close();
    http.closeAllConnections();
    await store.close();
  };
  try {
    for (const address of lan) await doors.listen(address, port);
  } catch (error) {
    await close();
    throw error;
  }
  return { url: `http://${loopback}:${port}`, lanUrls, close };
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
