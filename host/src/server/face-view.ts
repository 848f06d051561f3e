import { conventionName } from "../plan/check/colours.js";
import { type Connector, type ConnectorPin, placeSeen } from "../plan/connectors/connector.js";
import { connectorOf, farConnectorOf } from "../plan/connectors.js";
import type { Plan } from "../plan/plan-schema.js";
import type { FacePin, FaceView } from "./contract.js";
import { pinUse } from "./place-words.js";

type End = "near" | "far";

/** The faces of a plan's connectors as one looks into their mating side: the vehicle's socket, or the cable's two plugs. */
export function faceViews(plan: Plan): FaceView[] {
  const far = farConnectorOf(plan);
  return [faceView(plan, connectorOf(plan), "near"), ...(far ? [faceView(plan, far, "far")] : [])];
}

function faceView(plan: Plan, connector: Connector, end: End): FaceView {
  const half = plan.kind === "cable" ? "trailer-plug" : "vehicle-socket";
  return {
    title: plan.kind === "cable" ? `${connector.name}, plug at the ${end} end` : `${connector.name}, socket`,
    outline: connector.id.startsWith("flat-") ? "row" : "round",
    note: connector.pins.every((pin) => pin.place.confirmed)
      ? null
      : "No source confirms every place on this face: go by the letters and numbers on the part.",
    pins: connector.pins.map((pin): FacePin => {
      const { x, y } = placeSeen(pin.place, { half, side: "mating" });
      return {
        pin: pin.pin,
        functionText: end === "near" ? (pinUse(plan, pin.pin) ?? pin.use) : pin.use,
        role: roleOf(plan, pin, end),
        colour: colourOf(plan, connector, pin, end),
        byConvention: byConvention(plan, connector, pin),
        x,
        y: 0 - y,
        shape: connector.id === "blade-7" && Math.hypot(x, y) > 0.2 ? "blade" : "round",
      };
    }),
  };
}

function roleOf(plan: Plan, { pin, function: standard }: ConnectorPin, end: End): FacePin["role"] {
  if (plan.kind === "cable") {
    if (!plan.conductors.some((one) => one[end] === pin)) return "unused";
    if (standard === "ground") return "ground";
    return end === "near" && plan.senseOnly?.includes(pin) ? "never-driven" : "driven";
  }
  if (pin === plan.ground.pin) return "ground";
  if (plan.senseOnly?.includes(pin)) return "never-driven";
  const circuit = plan.circuits.find((one) => one.pin === pin);
  if (circuit === undefined) return "unused";
  return circuit.function === "charge" ? "never-driven" : "driven";
}

/** The colour that the plan gives the wire, else the one of the plan's convention, else of the connector's usual one. */
function colourOf(plan: Plan, connector: Connector, { pin, colours }: ConnectorPin, end: End): string | null {
  const wire =
    plan.kind === "cable"
      ? plan.conductors.find((one) => one[end] === pin)?.wire
      : pin === plan.ground.pin
        ? plan.ground.wire
        : plan.circuits.find((one) => one.pin === pin)?.wire;
  const convention = plan.colourConvention ?? connector.conventions[0];
  return wire?.colour ?? (convention === undefined ? undefined : colours[convention]) ?? null;
}

/** The seven-way connector has two conventions, and most mistakes come of taking the one for the other: both are told. */
function byConvention(plan: Plan, { conventions }: Connector, { colours }: ConnectorPin): FacePin["byConvention"] {
  if (conventions.length < 2) return [];
  const named = plan.colourConvention ?? conventions[0];
  return conventions.map((one) => ({
    name: conventionName[one],
    colour: colours[one] ?? "none",
    named: one === named,
  }));
}
