import type { PlanView } from "@pinwalk/host/server/contract.js";
import { WireSwatch } from "../drawing/wire-swatch.js";
import { chosenPlan } from "../live/workbench-store.js";
import { ampsText, bandText, voltsText } from "../words/amounts.js";
import { ConnectorPanel } from "./connector-panel.js";
import "./plan-sheet.css";

/** What the chosen plan says should be there: the connector's face, and what each pin should draw. */
export function PlanSheet() {
  const plan = chosenPlan.value;
  return (
    <section class="sheet plan-sheet" aria-labelledby="plan-sheet-title">
      <div class="sheet-head">
        <h2 id="plan-sheet-title">{plan ? plan.name : "What should be there"}</h2>
        {plan && (
          <p class="sheet-note">
            {plan.connectors}, {plan.nominalVolts} V
          </p>
        )}
      </div>
      {plan ? <Planned plan={plan} /> : <NoPlan />}
    </section>
  );
}

function NoPlan() {
  return (
    <div class="empty">
      <p>
        Choose a plan on this page. Here you will then see the connector with its pins and wire colours, and the current
        that each pin should draw.
      </p>
    </div>
  );
}

function Planned({ plan }: { plan: PlanView }) {
  return (
    <div class="plan-sheet-body">
      <ConnectorPanel plan={plan} />
      <table class="loads">
        <caption>Expected currents, in the order of the walk</caption>
        <thead>
          <tr>
            <th scope="col">Pin</th>
            <th scope="col">Circuit</th>
            <th scope="col" class="number">
              Current
            </th>
            <th scope="col" class="number">
              Band
            </th>
            <th scope="col">Voltage</th>
          </tr>
        </thead>
        <tbody>
          {plan.expected.map((row) => (
            <tr key={row.pin}>
              <th scope="row" class="pin-name">
                {row.pin}
              </th>
              <td>
                {row.functionText}
                <br />
                <WireSwatch colour={colourOf(plan, row.pin)} />
              </td>
              <td class="number">
                <strong>{ampsText(row.amps, row.high)}</strong>
              </td>
              <td class="number">{bandText(row.low, row.high)}</td>
              <td class="lamp-volts">
                <span>{voltsText(row.volts)} at the pin</span>
                {row.lamps.map((lamp) => (
                  <span key={lamp.name}>
                    {voltsText(lamp.volts)} at {lamp.name}
                  </span>
                ))}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

export function colourOf(plan: PlanView, pin: string): string | null {
  return plan.faces[0]?.pins.find((row) => row.pin === pin)?.colour ?? null;
}
