import { wireName } from "../../plan/check/wire-current.js";
import { connectorOf, farConnectorOf } from "../../plan/connectors.js";
import { factoryLoads, lampOf } from "../../plan/lamp-load.js";
import { defaultLibrary, findDiode } from "../../plan/parts/parts-library.js";
import type { CablePlan, Feed, InstallPlan, Isolation, Plan, WireRun } from "../../plan/plan-schema.js";
import { pinUse } from "../place-words.js";
import { rearLamps } from "../rear-lamps.js";
import type { CableWiring, InstallWiring, WireText, WiringLamp, WiringView } from "./wiring-contract.js";

/** What is joined to what in a plan, in words. */
export function wiringView(plan: Plan): WiringView {
  return plan.kind === "install" ? installWiring(plan) : cableWiring(plan);
}

const wireText = (run: WireRun): WireText => ({
  text: `${wireName(run)}, ${Number(run.metres.toFixed(2))}\u00a0m`,
  colour: run.colour ?? null,
});

const sides = ["left", "centre", "right"];

function installWiring(plan: InstallPlan): InstallWiring {
  const feedsOf = (lamp: string) => plan.circuits.flatMap(({ feeds }) => feeds.filter(({ to }) => to === lamp));
  return {
    kind: "install",
    connector: connectorOf(plan).name,
    circuits: plan.circuits.map((circuit) => ({
      pin: circuit.pin,
      functionText: pinUse(plan, circuit.pin) ?? circuit.function,
      neverDriven: plan.senseOnly?.includes(circuit.pin) === true || circuit.function === "charge",
      wire: wireText(circuit.wire),
      feeds: circuit.feeds.map((feed) => ({
        lamp: feed.to,
        wire: feed.wire ? wireText(feed.wire) : null,
        diode: diodeWords(feed.isolation),
      })),
    })),
    housings: [...rearLamps(plan)]
      .sort((one, other) => sides.indexOf(one.side) - sides.indexOf(other.side))
      .map(({ name, side, filaments }) => ({
        name,
        side,
        lamps: filaments.map(({ id }) => lampView(plan, id, feedsOf(id))),
      })),
    ground: { pin: plan.ground.pin, wire: wireText(plan.ground.wire) },
  };
}

function lampView(plan: InstallPlan, id: string, feeds: readonly Feed[]): WiringLamp {
  const wires = new Set(feeds.flatMap(({ vehicleWire }) => vehicleWire ?? []));
  return {
    id,
    load: lampOf(plan, id, defaultLibrary)?.name ?? id,
    ownFeed: ownFeedWords(plan, id, feeds),
    vehicleWire: wires.size === 0 ? null : [...wires].join("; "),
  };
}

/** A lamp behind an isolation diode has the vehicle's own feed behind a diode of the same kind. */
function ownFeedWords(plan: InstallPlan, id: string, feeds: readonly Feed[]): string | null {
  const [socketId, filament] = id.split(".");
  const socket = plan.sockets.find((one) => one.id === socketId);
  if (!socket || (filament !== "bright" && filament !== "dim")) return null;
  const loads = factoryLoads(socket, filament, plan.nominalVolts, defaultLibrary).map(({ name }) => name);
  const diode = feeds.map(({ isolation }) => diodeWords(isolation)).find((words) => words !== null);
  if (diode === undefined && loads.length === 0) return null;
  const through = diode === undefined ? "straight on" : `through its own ${diode}`;
  return `vehicle's own feed ${through}${loads.length > 0 ? `, with ${tied(loads.join(", "))} on it` : ""}`;
}

/** A count stays with what it counts. */
const tied = (words: string) => words.replaceAll(" × ", "\u00a0×\u00a0");

function diodeWords(isolation: Isolation): string | null {
  if (typeof isolation !== "string") return "diode of the plan's own";
  if (isolation === "none") return null;
  // What stands in brackets is for the shelf, not for a drawing.
  return (findDiode(defaultLibrary, isolation)?.name ?? isolation).replace(/ \(.*\)$/, "").replace(/ A\b/, "\u00a0A");
}

function cableWiring(plan: CablePlan): CableWiring {
  const far = farConnectorOf(plan);
  return {
    kind: "cable",
    near: connectorOf(plan).name,
    far: far?.name ?? "",
    conductors: plan.conductors.map((conductor) => ({
      near: conductor.near,
      nearText: connectorOf(plan).pins.find(({ pin }) => pin === conductor.near)?.use ?? conductor.near,
      far: conductor.far,
      farText: far?.pins.find(({ pin }) => pin === conductor.far)?.use ?? conductor.far,
      wire: wireText(conductor.wire),
    })),
  };
}
