import { fileURLToPath } from "node:url";
import { runnerImport } from "vite";

export const title = "A seven-pin walk of a filament vehicle, in emulated time, against its lamps' own settling times";

const folder = fileURLToPath(new URL("../procedures/", import.meta.url));

function say(label, value) {
  process.stdout.write(`${label.padEnd(52)}${value}\n`);
}

export async function run({ seeds = [1, 2, 3, 4, 5] } = {}) {
  const load = { root: folder, logLevel: "error" };
  const { ownSettlingMs, sevenPinPickup, walkTime } = (await runnerImport(`${folder}walk-time.ts`, load)).module;
  const plan = sevenPinPickup();
  const own = ownSettlingMs(plan);
  const ownMs = [...own.values()].reduce((sum, one) => sum + one, 0);
  say("each within 1 % of its end after, ms", [...own].map(([pin, ms]) => `${pin} ${ms}`).join(", "));
  const times = [];
  for (const seed of seeds) times.push(await walkTime(plan, seed));
  const range = (of) => {
    const shares = times.map((time) => of(time) / ownMs).toSorted((a, b) => a - b);
    return `${shares[0].toFixed(3)} to ${shares.at(-1).toFixed(3)}`;
  };
  say(
    `whole walk, power-up to everything off (${seeds.length} seeds)`,
    range((time) => time.wholeMs),
  );
  say(
    "without power-up, greeting and configuration",
    range((time) => time.walkMs),
  );
  say(
    "full supply on a pin",
    range((time) => time.litMs),
  );
  say(
    "settling as the bench gives it",
    range((time) => time.settleMs),
  );
  say("line, at most, of the whole walk", `${((100 * times[0].lineMs) / times[0].wholeMs).toFixed(1)} %`);
  // The quickest of them: what else the machine does is not the host's.
  const host = Math.min(...times.map((time) => time.hostMs / time.wholeMs));
  say("host, from a line heard to the next request", `${(100 * host).toFixed(1)} %`);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) await run();
