import { blade7 } from "./connectors/blade-7.js";
import { atClock, type Connector } from "./connectors/connector.js";
import { flat4, flat5 } from "./connectors/flat.js";
import { iso1724, iso3732 } from "./connectors/iso-7.js";
import { iso11446 } from "./connectors/iso-11446.js";
import { round6 } from "./connectors/round-6.js";
import { round7Heavy } from "./connectors/round-7-heavy.js";
import type { ConnectorChoice, Plan } from "./plan-schema.js";

/** Every connector that a plan can name by id. */
export const connectors: readonly Connector[] = [flat4, flat5, round6, blade7, round7Heavy, iso1724, iso3732, iso11446];

export function connectorById(id: string): Connector | undefined {
  return connectors.find((connector) => connector.id === id);
}

/** The connector that a plan names or carries; undefined for an id that does not exist. */
export function connectorFor(choice: ConnectorChoice): Connector | undefined {
  if (typeof choice === "string") return connectorById(choice);
  const count = choice.pins.length;
  return {
    id: choice.id,
    name: "the plan's own connector",
    conventions: [],
    pins: choice.pins.map((own, at) => ({
      pin: own.pin,
      function: own.function,
      use: own.function,
      colours: {},
      place: atClock((12 * at) / count, 0.7, false, "the plan's own connector; drawn in the plan's order"),
      grade: "C",
      source: "the plan",
    })),
  };
}

/** The connector at the tester's near end. Throws for a plan that `parsePlan` would refuse. */
export function connectorOf(plan: Plan): Connector {
  return known(plan.kind === "install" ? plan.connector : plan.near);
}

/** The connector at the far end; undefined for an install plan. */
export function farConnectorOf(plan: Plan): Connector | undefined {
  return plan.kind === "cable" ? known(plan.far) : undefined;
}

function known(choice: ConnectorChoice): Connector {
  const connector = connectorFor(choice);
  if (connector === undefined) throw new RangeError(`no connector "${String(choice)}" in the library`);
  return connector;
}
