import { drivenPins } from "@pinwalk/host/diagnosis/readings-fit-plan.js";
import { FaultedVehicle } from "@pinwalk/host/diagnosis/simulation/faulted-vehicle.js";
import { defaultLibrary } from "@pinwalk/host/plan/parts/parts-library.js";

const source = { volts: 12.8, ohms: 0.1, lowVolts: 4.4, lowOhms: 1000, senseOhms: 133_000, tripAmps: 10 };
const rounded = (volts) => Math.round(volts * 1000) / 1000;
/** Noise-free readings of a vehicle by the host's own solver: as a bench would take them, live pins left alone. */
export function simulateReadings(plan, faults) {
  const vehicle = new FaultedVehicle({ plan, source, ambientC: 20, library: defaultLibrary }, faults);
  const pins = drivenPins(plan);
  const { built, bench } = vehicle;
  const near = () => Object.fromEntries(pins.map((pin) => [pin, rounded(bench.pinVolts(pin))]));
  const far = () =>
    built.farPins.length === 0
      ? {}
      : { farVolts: Object.fromEntries(built.farPins.map((pin) => [pin, rounded(bench.farVolts(pin))])) };
  vehicle.feed({ kind: "rest" });
  const rest = near();
  const quiet = pins.filter((pin) => (rest[pin] ?? 0) < 1);
  const lowCurrent = quiet.map((pin) => {
    vehicle.feed({ kind: "low", pin });
    return { pin, volts: near(), ...far() };
  });
  const drives = quiet.map((pin) => {
    vehicle.feed({ kind: "inrush", pin });
    const peakAmps = rounded(Math.max(0, bench.sourceAmps()));
    vehicle.feed({ kind: "drive", pin });
    const amps = Math.max(0, bench.sourceAmps());
    const tripped = amps > source.tripAmps;
    const reading = { pin, amps: rounded(Math.min(amps, source.tripAmps + 0.1)), volts: near(), ...far(), tripped };
    return tripped ? reading : { ...reading, peakAmps };
  });
  const uncertainty = { amps: { relative: 0.01, offset: 0.003 }, volts: { relative: 0.005, offset: 0.01 } };
  return {
    format: "pinwalk-readings/1",
    takenAt: "2026-11-25T12:00:00.000Z",
    tester: { id: "simulated", firmware: "1.0.0", uncertainty },
    ambientC: 20,
    source,
    rest,
    lowCurrent,
    drives,
  };
}
