import type { SimulatedSource } from "@pinwalk/host/server/listening/listening-contract.js";
import { send } from "../../live/connection.js";

/** The demo's vehicle: whoever has none can see what listening does. */
export function SimulatedSwitches({ simulated, outlet }: { simulated: SimulatedSource; outlet: boolean }) {
  const { wires, wireId, functions, farLoads, poorPin, pins } = simulated;
  const on = functions.filter((row) => row.on).map(({ name }) => name);
  const change = (next: { wireId?: string; on?: string[]; farLoads?: boolean; poorPin?: string | null }) =>
    void send("listening:simulate", { wireId, on, farLoads, poorPin, ...next });
  return (
    <section class="sheet simulated" aria-labelledby="simulated-source">
      <div class="sheet-head">
        <h2 id="simulated-source">Simulated vehicle: its own switches</h2>
        <p class="sheet-note">Only on the virtual bench</p>
      </div>
      <div class="switches">
        {functions.map((row) => (
          <button
            key={row.name}
            type="button"
            class="button"
            aria-pressed={row.on}
            onClick={() => change({ on: row.on ? on.filter((name) => name !== row.name) : [...on, row.name] })}
          >
            {row.text}
          </button>
        ))}
      </div>
      <div class="listening-fields">
        {outlet ? (
          <>
            <label class="simulated-check">
              <input
                type="checkbox"
                checked={farLoads}
                onChange={(event) => change({ farLoads: event.currentTarget.checked })}
              />
              Far loads plugged in
            </label>
            <div class="field">
              <label for="simulated-poor">Poor contact in the outlet</label>
              <select
                id="simulated-poor"
                value={poorPin ?? ""}
                onChange={({ currentTarget: { value } }) => change({ poorPin: value === "" ? null : value })}
              >
                <option value="">None</option>
                {pins.map((pin) => (
                  <option key={pin} value={pin}>
                    Pin {pin}
                  </option>
                ))}
              </select>
            </div>
          </>
        ) : (
          <div class="field">
            <label for="simulated-wire">The probe is on</label>
            <select
              id="simulated-wire"
              value={wireId}
              onChange={(event) => change({ wireId: event.currentTarget.value })}
            >
              {wires.map(({ id, text }) => (
                <option key={id} value={id}>
                  {text}
                </option>
              ))}
            </select>
          </div>
        )}
      </div>
    </section>
  );
}
