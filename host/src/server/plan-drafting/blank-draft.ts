import { startReturn, templateConnector } from "../../plan/templates/circuit-start.js";
import { farLoadOhms } from "../../plan/templates/umbilical.js";
import type { TemplateChoice } from "./drafting-contract.js";

/** Beginning from nothing, as two further rows of the templates. */
export function blankChoices(connectorIds: readonly string[]): TemplateChoice[] {
  return [
    {
      id: "blank-install",
      kind: "install",
      title: "Vehicle, from nothing",
      detail: "A connector and its ground wire; circuits and lamps are yours to add.",
      connectors: connectorIds,
      farConnectors: [],
    },
    {
      id: "blank-cable",
      kind: "cable",
      title: "Cable, from nothing",
      detail: "Two connectors; conductors are yours to add.",
      connectors: connectorIds,
      farConnectors: connectorIds,
    },
  ];
}

/** A draft with nothing but its connectors; no plan yet. Undefined for an id that is none of {@link blankChoices}. */
export function blankDraft(id: string, connectorId: string, farId = connectorId): object | undefined {
  const connector = templateConnector(connectorId);
  const [convention] = connector.conventions;
  const common = {
    format: "pinwalk-plan/1",
    name: "",
    nominalVolts: 12,
    ...(connector.conventions.length > 1 ? { colourConvention: convention } : {}),
  };
  if (id === "blank-install")
    return {
      ...common,
      kind: "install",
      connector: connectorId,
      circuits: [],
      sockets: [],
      ...startReturn(connector, convention, []),
    };
  if (id === "blank-cable")
    return { ...common, kind: "cable", near: connectorId, far: farId, conductors: [], farLoadOhms };
  return undefined;
}
