import { readdir } from "node:fs/promises";
import { SerialPort } from "serialport";

export interface PortPath {
  readonly path: string;
  /** What the system says the device is, where it says anything. */
  readonly device?: string;
}

const usbSerialName = /^tty(USB|ACM)\d+$/;

/**
 * The machine's serial ports, those on USB first. Where the system's device database does not answer (the library then
 * rejects), the names that Linux gives to USB serial devices are taken from /dev. Never throws.
 */
export async function listPortPaths(): Promise<readonly PortPath[]> {
  try {
    const ports = await SerialPort.list();
    return ports
      .map((port) => ({ usb: port.vendorId !== undefined, port }))
      .toSorted((a, b) => Number(b.usb) - Number(a.usb) || a.port.path.localeCompare(b.port.path))
      .map(({ port }) => ({ path: port.path, ...(port.manufacturer ? { device: port.manufacturer } : {}) }));
  } catch {
    const names = await readdir("/dev").catch(() => []);
    return names
      .filter((name) => usbSerialName.test(name))
      .toSorted()
      .map((name) => ({ path: `/dev/${name}` }));
  }
}
