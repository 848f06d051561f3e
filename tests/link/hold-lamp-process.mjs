// A host of its own process, for tests that kill it: holds one lamp through a serial port and says what becomes of it.
//   node hold-lamp-process.mjs PORT CHANNEL USED-MASK GROUND-MASK
import { BenchSession } from "@pinwalk/host/bench/bench-session.js";
import { openSerialPort } from "@pinwalk/host/bench/serial-port.js";

const [path = "", channel, used, ground] = process.argv.slice(2);
const say = (event) => process.stdout.write(`${JSON.stringify(event)}\n`);

try {
  const session = await BenchSession.open(await openSerialPort(path, { baud: 250_000 }));
  await session.configure({ used: Number(used), senseOnly: 0, ground: Number(ground) });
  await session.arm();
  const hold = await session.hold(Number(channel));
  say({ kind: "holding", measurement: hold.measurement });
  const { end } = await hold.ended;
  say({ kind: "ended", end });
  await session.close();
} catch (error) {
  say({ kind: "failed", code: error.code, message: error.message });
  process.exitCode = 3;
}
