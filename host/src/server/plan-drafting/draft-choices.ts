import { conventionName } from "../../plan/check/colours.js";
import { wireName } from "../../plan/check/wire-current.js";
import { circuitFunctions } from "../../plan/circuit-function.js";
import { connectors } from "../../plan/connectors.js";
import { healthyOhms } from "../../plan/healthy-ohms.js";
import { defaultLibrary } from "../../plan/parts/parts-library.js";
import { defaultKneeVolts } from "../../plan/plan-schema.js";
import { acrossMetres, startWire } from "../../plan/templates/circuit-start.js";
import { rearLed } from "../../plan/templates/led-lamps.js";
import { planTemplates } from "../../plan/templates/templates.js";
import { cableMetres } from "../../plan/templates/umbilical.js";
import { functionWords } from "../function-words.js";
import { blankChoices } from "./blank-draft.js";
import type { ConnectorChoiceView, DraftChoices } from "./drafting-contract.js";
import { bulbFigures, diodeFigures, wireFigures } from "./part-sources.js";

/** Everything that a drafter can choose from. */
export function draftChoices(): DraftChoices {
  const { bulbs, wires, diodes, fuses } = defaultLibrary;
  return {
    templates: [
      ...planTemplates.map(({ make: _make, ...template }) => template),
      ...blankChoices(connectors.map(({ id }) => id)),
    ],
    connectors: connectors.map(connectorChoice),
    functions: circuitFunctions.map((id) => ({ id, words: functionWords[id] })),
    bulbs: bulbs.map((bulb) => ({
      id: bulb.id,
      nominalVolts: bulb.nominalVolts,
      figures: bulbFigures(bulb),
      hasDim: bulb.dim !== undefined,
      source: bulb.source,
    })),
    wires: wires.map((wire) => ({
      system: wire.system,
      size: wire.size,
      name: wireName({ [wire.system]: wire.size }),
      figures: wireFigures(wire),
    })),
    diodes: diodes.map((diode) => ({ id: diode.id, name: diode.name, figures: diodeFigures(diode) })),
    fuses: fuses.map(({ amps, colour, source }) => ({ amps, colour, source })),
    usual: {
      branchMetres: acrossMetres,
      cableMetres,
      led: rearLed.bright,
      kneeVolts: defaultKneeVolts,
      contactOhms: healthyOhms.contact,
      socketGroundOhms: healthyOhms.socketGround,
      groundBondOhms: healthyOhms.groundBond,
    },
  };
}

function connectorChoice({ id, name, conventions, pins }: (typeof connectors)[number]): ConnectorChoiceView {
  return {
    id,
    name,
    conventions: conventions.map((one) => ({ id: one, name: conventionName[one] })),
    pins: pins.map((pin) => ({
      pin: pin.pin,
      function: pin.function,
      use: pin.use,
      colours: { ...pin.colours },
      wire: startWire(pin, undefined),
    })),
  };
}
