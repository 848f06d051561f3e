import type {
  ClientToServerEvents,
  CommandAck,
  CommandName,
  CommandPayload,
  ServerToClientEvents,
  TraceBatch,
  WorkbenchState,
} from "@pinwalk/host/server/contract.js";
import { io, type Socket } from "socket.io-client";

/** A browser without a page: it holds the state as the server tells it and can wait for what it should become. */
export class WorkbenchClient {
  readonly socket: Socket<ServerToClientEvents, ClientToServerEvents>;
  readonly batches: TraceBatch[] = [];
  /** The samples that came with the snapshot. */
  firstTraces: TraceBatch | undefined;
  #state: WorkbenchState | undefined;
  readonly #waiting = new Set<() => void>();

  constructor(url: string, headers: Record<string, string> = {}, query: Record<string, string> = {}) {
    this.socket = io(url, {
      transports: ["websocket"],
      extraHeaders: headers,
      query,
      reconnection: false,
      forceNew: true,
    });
    this.socket.on("snapshot", (state, traces) => {
      this.firstTraces = traces;
      this.#become(state);
    });
    this.socket.on("changed", (sections) => {
      if (this.#state) this.#become({ ...this.#state, ...sections });
    });
    this.socket.on("live", (batch) => this.batches.push(batch));
  }

  static async open(url: string): Promise<WorkbenchClient> {
    const client = new WorkbenchClient(url);
    await client.until(() => true);
    return client;
  }

  get state(): WorkbenchState {
    if (!this.#state) throw new Error("no snapshot yet");
    return this.#state;
  }

  /** Resolves with the first state, the present one included, that is as wanted. */
  until(wanted: (state: WorkbenchState) => boolean): Promise<WorkbenchState> {
    return new Promise((resolve) => {
      const look = () => {
        if (!this.#state || !wanted(this.#state)) return;
        this.#waiting.delete(look);
        resolve(this.#state);
      };
      this.#waiting.add(look);
      look();
    });
  }

  ask<Name extends CommandName>(name: Name, payload: CommandPayload<Name>): Promise<CommandAck> {
    return this.say(name, payload);
  }

  /** Sends anything at all. */
  say(name: string, payload: unknown): Promise<CommandAck> {
    return new Promise((resolve) => {
      (this.socket.emit as (event: string, data: unknown, answer: (ack: CommandAck) => void) => void).call(
        this.socket,
        name,
        payload,
        resolve,
      );
    });
  }

  /** Asks, and fails the test at once where the server refuses. */
  async must<Name extends CommandName>(name: Name, payload: CommandPayload<Name>): Promise<void> {
    const answer = await this.ask(name, payload);
    if (!answer.ok) throw new Error(`${name} was refused: ${answer.message}`);
  }

  async walkToTheEnd(): Promise<WorkbenchState> {
    const before = this.state.walk.number;
    await this.must("walk:start", {});
    return this.until(({ walk }) => walk.number > before && walk.state === "ended");
  }

  close(): void {
    this.socket.disconnect();
  }

  #become(state: WorkbenchState): void {
    this.#state = state;
    for (const look of [...this.#waiting]) look();
  }
}
