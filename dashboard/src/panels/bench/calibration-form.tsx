import type { CalibrationView } from "@pinwalk/host/server/bench-care/bench-care-contract.js";
import { ToneIcon } from "../../drawing/icons.js";
import { type CalibrationDraft, calibrationDraft, draftProblem } from "../../live/bench-care.js";
import { goingOn } from "../../live/bench-jobs.js";
import { chosenBench } from "../../live/workbench-store.js";
import { NotYet } from "../not-yet.js";

/** What has to be known before a calibration: how good the meter and the resistors are, and what the bench is called. */
export function CalibrationForm({ state }: { state: CalibrationView }) {
  const draft = calibrationDraft.value;
  const change = (part: Partial<CalibrationDraft>) => {
    calibrationDraft.value = { ...draft, ...part };
  };
  const resistor = (index: number, part: Partial<CalibrationDraft["low"]>) =>
    change({ resistors: draft.resistors.map((one, place) => (place === index ? { ...one, ...part } : one)) });
  return (
    <section class="sheet" aria-labelledby="calibration-title">
      <div class="sheet-head">
        <h2 id="calibration-title">Calibration{chosenBench.value ? ` of ${chosenBench.value.name}` : ""}</h2>
      </div>
      <p class="bench-lead">
        A meter, two or three known resistors and about ten minutes. The bench is compared step by step; nothing is
        written into it before the last one, and stopping at any step leaves it as it was.
      </p>
      <p class="caution">
        <ToneIcon tone="warning" />
        <span>
          The resistors for the current take up to 75&nbsp;W for two seconds. Take the vehicle off, and fuse the supply
          at its source.
        </span>
      </p>
      {state.hindrance && goingOn.value === null && <NotYet title="the calibration" hindrance={state.hindrance} />}
      <fieldset class="care-fields">
        <legend>Meter: its limits, as its booklet gives them</legend>
        <Field
          id="meter-percent"
          label="Percent of the reading"
          unit="%"
          value={draft.meterPercent}
          onText={(meterPercent) => change({ meterPercent })}
        />
        <Field
          id="meter-volts"
          label="And so many volts"
          unit="V"
          value={draft.meterVolts}
          onText={(meterVolts) => change({ meterVolts })}
        />
      </fieldset>
      <fieldset class="care-fields">
        <legend>Resistors for the current: value and limit</legend>
        {draft.resistors.map((one, index) => (
          // The place is what a resistor is known by.
          <div key={index} class="care-pair">
            <Field
              id={`resistor-${index}-ohms`}
              label={`Resistor ${index + 1}`}
              unit="Ω"
              value={one.ohms}
              onText={(ohms) => resistor(index, { ohms })}
            />
            <Field
              id={`resistor-${index}-percent`}
              label={`Limit of resistor ${index + 1}`}
              unit="%"
              value={one.percent}
              onText={(percent) => resistor(index, { percent })}
            />
          </div>
        ))}
        <div class="care-answers">
          {draft.resistors.length < 3 ? (
            <button
              type="button"
              class="button"
              onClick={() => change({ resistors: [...draft.resistors, { ohms: "", percent: "1" }] })}
            >
              A third resistor
            </button>
          ) : (
            <button type="button" class="button" onClick={() => change({ resistors: draft.resistors.slice(0, 2) })}>
              Two resistors are enough
            </button>
          )}
        </div>
      </fieldset>
      <fieldset class="care-fields">
        <legend>Resistor for the low-current source, about 1 kΩ</legend>
        <div class="care-pair">
          <Field
            id="low-ohms"
            label="Its value"
            unit="Ω"
            value={draft.low.ohms}
            onText={(ohms) => change({ low: { ...draft.low, ohms } })}
          />
          <Field
            id="low-percent"
            label="Its limit"
            unit="%"
            value={draft.low.percent}
            onText={(percent) => change({ low: { ...draft.low, percent } })}
          />
        </div>
      </fieldset>
      <fieldset class="care-fields">
        <legend>Serial number to give to the bench</legend>
        <Field
          id="serial"
          label="Up to 16 letters, digits, points and hyphens; empty leaves it as it is"
          unit=""
          value={draft.serial}
          onText={(serial) => change({ serial })}
        />
      </fieldset>
    </section>
  );
}

interface FieldProps {
  readonly id: string;
  readonly label: string;
  readonly unit: string;
  readonly value: string;
  readonly onText: (text: string) => void;
}

function Field({ id, label, unit, value, onText }: FieldProps) {
  const problem = draftProblem.value?.field === id ? draftProblem.value.message : null;
  return (
    <div class="field">
      <label for={`calibration-${id}`}>
        {label}
        {unit === "" ? "" : `, ${unit}`}
      </label>
      <input
        id={`calibration-${id}`}
        type="text"
        inputMode={unit === "" ? "text" : "decimal"}
        maxLength={16}
        autoComplete="off"
        value={value}
        aria-invalid={problem !== null}
        aria-describedby={problem === null ? undefined : `calibration-${id}-problem`}
        onInput={(event) => onText(event.currentTarget.value)}
      />
      {problem !== null && (
        <p id={`calibration-${id}-problem`} class="field-problem">
          <ToneIcon tone="fail" size={16} /> {problem}
        </p>
      )}
    </div>
  );
}
