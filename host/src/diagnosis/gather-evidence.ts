import type { Readings } from "../readings/readings.js";
import type { CircuitEvidence, HealthyCircuit, WalkEvidence } from "./circuit-evidence.js";

/** Lays each circuit's readings beside what it should read. Of readings taken twice, the last counts. */
export function gatherEvidence(healthy: readonly HealthyCircuit[], readings: Readings): WalkEvidence {
  const circuits = healthy.map((circuit): CircuitEvidence => {
    const seen = readings.seen?.filter((entry) => entry.pin === circuit.pin).at(-1);
    return {
      healthy: circuit,
      restVolts: readings.rest?.[circuit.pin],
      low: readings.lowCurrent?.filter((reading) => reading.pin === circuit.pin).at(-1),
      drive: readings.drives?.filter((reading) => reading.pin === circuit.pin).at(-1),
      seen: seen?.lit,
    };
  });
  return { circuits, readings };
}
