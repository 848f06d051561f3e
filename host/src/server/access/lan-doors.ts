import type { Server as HttpServer } from "node:http";
import { createServer, type Server, type Socket } from "node:net";
import { plainAddress } from "./peer-address.js";

/** A browser opens six at once and one for its socket; a few phones may share an address behind a router. */
const mostPerAddress = 48;
const mostInAll = 256;

/**
 * Doors to the local network: they listen at the addresses given and hand each connection to the one HTTP server, as long
 * as neither one address nor all of them together hold too many.
 */
export class LanDoors {
  readonly #http: HttpServer;
  readonly #open = new Map<string, number>();
  readonly #doors: Server[] = [];
  #count = 0;

  constructor(http: HttpServer) {
    this.#http = http;
  }

  /** Rejects with the system's error where an address is not this machine's or the port is taken there. */
  async listen(address: string, port: number): Promise<void> {
    const door = createServer({ noDelay: true }, (socket) => this.#admit(socket));
    await new Promise<void>((resolve, reject) => {
      door.once("error", reject);
      door.listen(port, address, () => {
        door.off("error", reject);
        resolve();
      });
    });
    this.#doors.push(door);
  }

  close(): void {
    for (const door of this.#doors) door.close();
  }

  #admit(socket: Socket): void {
    const address = plainAddress(socket.remoteAddress ?? "");
    const open = this.#open.get(address) ?? 0;
    if (address === "" || open >= mostPerAddress || this.#count >= mostInAll) {
      socket.destroy();
      return;
    }
    this.#open.set(address, open + 1);
    this.#count += 1;
    socket.once("close", () => {
      this.#count -= 1;
      const left = (this.#open.get(address) ?? 1) - 1;
      if (left > 0) this.#open.set(address, left);
      else this.#open.delete(address);
    });
    this.#http.emit("connection", socket);
  }
}
