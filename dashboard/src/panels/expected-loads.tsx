import type { PlanView } from "@pinwalk/host/server/contract.js";
import { WireSwatch } from "../drawing/wire-swatch.js";
import { ampsText, bandText, voltsText } from "../words/amounts.js";
import { colourOf } from "./pin-colour.js";
import "./expected-loads.css";

/** What each pin should draw, with its band, and the voltage that reaches each lamp. */
export function ExpectedLoads({ plan }: { plan: PlanView }) {
  return (
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
  );
}
