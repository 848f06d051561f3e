import type { CommandPayload } from "@pinwalk/host/server/contract.js";
import type { FlexWatchView as State } from "@pinwalk/host/server/flex-watch/flex-watch-contract.js";
import { busy } from "../../live/bench-jobs.js";
import { send } from "../../live/connection.js";
import { SettledInput } from "../settled-input.js";

/** What the next watch does and by what it judges; one for every browser. */
export function FlexSettings({ state }: { state: State }) {
  const { settings } = state;
  const { thresholds } = settings;
  const change = (next: CommandPayload<"flex-watch:set-up">) => void send("flex-watch:set-up", next);
  return (
    <section class="sheet" aria-labelledby="flex-settings">
      <div class="sheet-head">
        <h2 id="flex-settings">Next watch</h2>
      </div>
      <div class="flex-fields">
        <div class="field">
          <label for="flex-which">Which conductors</label>
          <select
            id="flex-which"
            value={settings.pins[0] ?? ""}
            disabled={busy.value}
            onChange={({ currentTarget: { value } }) => change({ pins: value === "" ? [] : [value] })}
          >
            <option value="">All in turn</option>
            {state.choices.map((pin) => (
              <option key={pin} value={pin}>
                {pin} alone
              </option>
            ))}
          </select>
        </div>
        <NumberField
          id="flex-seconds"
          label="Seconds each"
          value={settings.seconds}
          least={2}
          most={600}
          step={1}
          onChange={(seconds) => change({ seconds })}
        />
        <NumberField
          id="flex-gap-ms"
          label="Shortest interruption that counts, ms"
          value={thresholds.leastGapMs}
          least={0.75}
          most={10_000}
          step="any"
          onChange={(leastGapMs) => change({ thresholds: { leastGapMs } })}
        />
        <NumberField
          id="flex-gap-count"
          label="Interruptions allowed"
          value={thresholds.mostGaps}
          least={0}
          most={10_000}
          step={1}
          onChange={(mostGaps) => change({ thresholds: { mostGaps } })}
        />
        <NumberField
          id="flex-spread"
          label="Resistance may waver by, Ω"
          value={thresholds.mostSpreadOhms}
          least={0.001}
          most={1000}
          step="any"
          onChange={(mostSpreadOhms) => change({ thresholds: { mostSpreadOhms } })}
        />
      </div>
      <p class="sheet-note">
        Usual: no interruption of 1&nbsp;ms or longer, and no more than 0.1&nbsp;Ω of wavering, several times what a
        sound contact may have.
      </p>
    </section>
  );
}

interface NumberFieldProps {
  readonly id: string;
  readonly label: string;
  readonly value: number;
  readonly least: number;
  readonly most: number;
  readonly step: number | "any";
  readonly onChange: (value: number) => void;
}

function NumberField({ id, label, value, least, most, step, onChange }: NumberFieldProps) {
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <SettledInput
        id={id}
        value={value}
        disabled={busy.value}
        bounds={{ least, most, step }}
        onSettled={(field) => onChange(field.valueAsNumber)}
      />
    </div>
  );
}
