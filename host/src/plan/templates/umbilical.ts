import type { Connector, ConnectorPin } from "../connectors/connector.js";
import { connectors } from "../connectors.js";
import type { Conductor } from "../plan-schema.js";
import { startWire, templateConnector } from "./circuit-start.js";
import type { PlanTemplate } from "./plan-template.js";

/** A coiled cable's length when it is stretched, metres (common practice, no source). */
export const cableMetres = 2.4;
/** The loads of the bench's far socket. */
export const farLoadOhms = 47;

const every = connectors.map(({ id }) => id);

/** A cable between any two connectors: each near pin goes to the far pin of the same function. */
export const umbilical: PlanTemplate = {
  id: "umbilical",
  kind: "cable",
  title: "Umbilical cable",
  detail:
    "Every pin of the near plug goes to the pin of the same function in the far plug; pins without a partner stay empty.",
  connectors: ["blade-7", ...every.filter((id) => id !== "blade-7")],
  farConnectors: ["round-6", ...every.filter((id) => id !== "round-6")],
  make: (nearId, farId = nearId) => {
    const near = templateConnector(nearId);
    const far = templateConnector(farId);
    const [convention] = near.conventions;
    const named = near.conventions.length > 1 && convention !== undefined;
    return {
      format: "pinwalk-plan/1",
      kind: "cable",
      name: near === far ? `Umbilical, ${near.name}` : `Umbilical, ${near.name} to ${far.name}`,
      nominalVolts: 12,
      near: near.id,
      far: far.id,
      ...(named ? { colourConvention: convention } : {}),
      conductors: partners(near, far).map(
        ([own, other]): Conductor => ({
          near: own.pin,
          far: other.pin,
          wire: startWire(own.conductor ? own : { ...own, ...conductorOf(other) }, convention, cableMetres),
        }),
      ),
      farLoadOhms,
    };
  },
};

const conductorOf = ({ conductor }: ConnectorPin): Pick<ConnectorPin, "conductor"> =>
  conductor === undefined ? {} : { conductor };

/** Near pins with their far ones: by the very use where both connectors tell it, else by function, each far pin once. */
function partners(near: Connector, far: Connector): (readonly [ConnectorPin, ConnectorPin])[] {
  const taken = new Set<ConnectorPin>();
  return near.pins.flatMap((own) => {
    const alike = far.pins.filter((other) => other.function === own.function && !taken.has(other));
    const other = alike.find((one) => one.use === own.use) ?? alike[0];
    if (other === undefined) return [];
    taken.add(other);
    return [[own, other] as const];
  });
}
