import type { BenchPort } from "./port.js";
import { portWith } from "./port-with.js";
import type { SerialLog } from "./serial-log.js";

/** The same port, whose every line goes into the log as well. */
export function loggedPort<Port extends BenchPort>(port: Port, path: string, log: SerialLog): Port {
  const sent = log.tap(path, "to-bench");
  const heard = log.tap(path, "from-bench");
  return portWith<BenchPort>(port, {
    write: (bytes) => {
      sent(bytes);
      port.write(bytes);
    },
    onBytes: (listener) =>
      port.onBytes((bytes) => {
        heard(bytes);
        listener(bytes);
      }),
  }) as Port;
}
