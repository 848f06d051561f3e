import { connectorOf, farConnectorOf } from "../plan/connectors.js";
import { expectedLoads } from "../plan/expected.js";
import type { Plan } from "../plan/plan-schema.js";
import type { ExpectedPinView, PlanSummary, PlanView } from "./contract.js";
import { cutListView } from "./cut-list-view.js";
import { faceViews } from "./face-view.js";
import { lampWords, pinUse } from "./place-words.js";
import { wiringView } from "./plan-drafting/wiring-view.js";
import { remarkViews } from "./remark-views.js";

/** One line about a plan. */
export function planSummary(plan: Plan, id: string, origin: PlanSummary["origin"]): PlanSummary {
  const far = farConnectorOf(plan);
  const near = connectorOf(plan).name;
  return {
    id,
    name: plan.name,
    kind: plan.kind,
    origin,
    connectors: far ? `${near} to ${far.name}` : near,
    circuits: plan.kind === "install" ? plan.circuits.length : plan.conductors.length,
  };
}

/** A plan with everything that the page shows of it. Amps and volts. */
export function planView(plan: Plan, summary: PlanSummary): PlanView {
  return {
    ...summary,
    nominalVolts: plan.nominalVolts,
    faces: faceViews(plan),
    expected: expectedViews(plan),
    remarks: remarkViews(plan),
    cutList: cutListView(plan),
    wiring: wiringView(plan),
  };
}

function expectedViews(plan: Plan): ExpectedPinView[] {
  // A walk goes through the pins in the order of the connector.
  const order = connectorOf(plan).pins.map((pin) => pin.pin);
  return [...expectedLoads(plan)]
    .sort((a, b) => order.indexOf(a.pin) - order.indexOf(b.pin))
    .map(({ pin, amps, low, high, volts, lampVolts }) => ({
      pin,
      functionText: pinUse(plan, pin) ?? pin,
      amps,
      low,
      high,
      volts,
      lamps: Object.entries(lampVolts).map(([lamp, atLamp]) => ({ name: lampWords(plan, lamp), volts: atLamp })),
    }));
}
