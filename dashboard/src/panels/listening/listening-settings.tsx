import type { ListeningView } from "@pinwalk/host/server/listening/listening-contract.js";
import { busy } from "../../live/bench-jobs.js";
import { send } from "../../live/connection.js";
import { SettledInput } from "../settled-input.js";

type Settings = ListeningView["settings"];

const uses = [
  {
    use: "wire",
    name: "Which function does this wire carry?",
    detail: "A probe lead from one pin of the bench goes to a wire of the vehicle, another from ground to its chassis.",
  },
  {
    use: "outlet",
    name: "Is the tow vehicle's outlet as it should be?",
    detail: "The bench is plugged into the tow vehicle's own connector, first without and then with the far loads.",
  },
] as const;

const placeText = ({ pin, functionText, input }: ListeningView["places"][number]) =>
  `pin ${pin} (${functionText}), input ${input} of the bench`;

/** What the next listening does; one for every browser. */
export function ListeningSettings({ state }: { state: ListeningView }) {
  const { settings, places } = state;
  const chosen = places.find(({ pin }) => pin === settings.pin);
  const change = (next: Partial<Settings>) => void send("listening:set-up", next);
  return (
    <section class="sheet" aria-labelledby="listening-settings">
      <div class="sheet-head">
        <h2 id="listening-settings">Find wires</h2>
        <p class="sheet-note">The bench listens; nothing is driven</p>
      </div>
      <ul class="choice-list">
        {uses.map(({ use, name, detail }) => (
          <li key={use}>
            <label class="choice">
              <input
                type="radio"
                name="listening-use"
                checked={settings.use === use}
                disabled={busy.value}
                onChange={() => change({ use })}
              />
              <span class="choice-name">{name}</span>
              <span class="choice-detail">{detail}</span>
            </label>
          </li>
        ))}
      </ul>
      <div class="listening-fields">
        {settings.use === "wire" ? (
          <>
            <div class="field">
              <label for="listening-pin">The probe lead sits on</label>
              <select
                id="listening-pin"
                value={settings.pin}
                disabled={busy.value}
                onChange={(event) => change({ pin: event.currentTarget.value })}
              >
                {places.map((place) => (
                  <option key={place.pin} value={place.pin}>
                    {placeText(place)}
                  </option>
                ))}
              </select>
              {chosen && (
                <p class="sheet-note whole-choice" aria-hidden="true">
                  {placeText(chosen)}
                </p>
              )}
            </div>
            <div class="field">
              <label for="listening-wire">The wire, in your words: where it is, its colour</label>
              <SettledInput
                id="listening-wire"
                value={settings.wire}
                disabled={busy.value}
                bounds={80}
                onSettled={(field) => change({ wire: field.value.trim() })}
              />
            </div>
          </>
        ) : (
          <div class="field">
            <label for="listening-drop">Volts that a pin may lose with the far loads on</label>
            <SettledInput
              id="listening-drop"
              value={settings.mostDropVolts}
              disabled={busy.value}
              bounds={{ least: 0.05, most: 10, step: "any" }}
              onSettled={(field) => change({ mostDropVolts: field.valueAsNumber })}
            />
          </div>
        )}
      </div>
    </section>
  );
}
