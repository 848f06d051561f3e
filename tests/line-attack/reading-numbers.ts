import type { Readings } from "@pinwalk/host/readings/readings.js";

/** Same bench, same vehicle, other noise: 1 % and a few counts of the converter (16 mV, 10 mA). */
const RELATIVE = 0.01;
/** A foreign supply feeds the vehicle's lamps from the moment of plugging in: what it stands at falls as they warm. */
const RELATIVE_AT_REST = 0.03;
const VOLTS = 0.05;
const AMPS = 0.02;

/** Everything in a walk's readings that measures the vehicle and stands still, by name. */
export function readingNumbers({
  source,
  rest = {},
  lowCurrent = [],
  drives = [],
}: Readings): ReadonlyMap<string, number> {
  const numbers = new Map<string, number>([["supply V", source.volts]]);
  const addVolts = (what: string, volts: Readonly<Record<string, number>>): void => {
    for (const [pin, value] of Object.entries(volts)) numbers.set(`${what}, ${pin} V`, value);
  };
  addVolts("rest", rest);
  for (const { pin, volts } of lowCurrent) addVolts(`low current into ${pin}`, volts);
  for (const { pin, amps, volts, farVolts = {}, tripped } of drives) {
    numbers.set(`drive of ${pin}, tripped`, tripped === true ? 1 : 0);
    // What a trip shows is a moment's value, and no two moments are alike.
    if (tripped === true) continue;
    numbers.set(`drive of ${pin}, A`, amps);
    addVolts(`drive of ${pin}`, volts);
    addVolts(`drive of ${pin}, far`, farVolts);
  }
  return numbers;
}

/** The first number that is not that of the honest walk, in words. */
export function differingNumber(
  got: ReadonlyMap<string, number>,
  wanted: ReadonlyMap<string, number>,
): string | undefined {
  if (got.size !== wanted.size) return `${got.size} numbers instead of ${wanted.size}`;
  for (const [name, value] of wanted) {
    const other = got.get(name) ?? Number.NaN;
    const relative = name.startsWith("rest") ? RELATIVE_AT_REST : RELATIVE;
    const allowed = relative * Math.abs(value) + (name.endsWith("A") ? AMPS : VOLTS);
    if (!(Math.abs(other - value) <= allowed)) return `${name}: ${other} instead of ${value}`;
  }
  return undefined;
}
