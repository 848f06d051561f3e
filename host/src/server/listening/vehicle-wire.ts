import type { InstallPlan, Plan } from "../../plan/plan-schema.js";
import { lampWords, pinWords } from "../place-words.js";
import type { FindingView, JointView } from "./listening-contract.js";

const mostText = 200;
const copyName = ", with its wires";

/** Every joint with the vehicle's own wiring that a plan has, and what is known of the wire there. */
export function jointsOf(plan: Plan | undefined): readonly JointView[] {
  if (plan?.kind !== "install") return [];
  return plan.circuits.flatMap(({ pin, feeds }) =>
    feeds.map(({ to, vehicleWire = null }) => ({
      pin,
      feed: to,
      text: `${pinWords(plan, pin)}, to ${lampWords(plan, to)}`,
      vehicleWire,
    })),
  );
}

/** What stands in the plan of a wire that was found: its name, and what it was heard to do. */
export function vehicleWireText({ wire, pin, words }: FindingView): string {
  const name = wire === "" ? `wire on pin ${pin}` : wire;
  return `${name}: ${words[0] ?? ""}`.slice(0, mostText);
}

/** The plan with this wire at one of its joints; undefined where it has no such joint. `copied` names it as another plan. */
export function withVehicleWire(
  plan: InstallPlan,
  joint: { readonly pin: string; readonly feed: string },
  vehicleWire: string,
  copied: boolean,
): InstallPlan | undefined {
  let found = false;
  const circuits = plan.circuits.map((circuit) => {
    if (circuit.pin !== joint.pin) return circuit;
    const feeds = circuit.feeds.map((feed) => {
      if (feed.to !== joint.feed) return feed;
      found = true;
      return { ...feed, vehicleWire };
    });
    return { ...circuit, feeds };
  });
  const name = copied ? `${plan.name.slice(0, 120 - copyName.length)}${copyName}` : plan.name;
  return found ? { ...plan, name, circuits } : undefined;
}
