import type { LampSpec } from "@pinwalk/host/plan/plan-schema.js";
import { choices, draft, edit } from "./draft-desk.js";
import { NumberField, SelectField, TickField } from "./draft-fields.js";
import { bulbNamed, bulbs } from "./draft-lookup.js";
import { type Draft, type Path, textAt } from "./draft-paths.js";

interface Figure {
  readonly key: string;
  readonly label: string;
  readonly unit?: string;
}

const amps: Figure = { key: "amps", label: "Current", unit: "A" };
const volts: Figure = { key: "volts", label: "At", unit: "V" };
const count: Figure = { key: "count", label: "How many alike" };

/** What each kind of load is told by; the host's schema says which of them may be left empty. */
const kinds: Readonly<Record<LampSpec["kind"], { readonly words: string; readonly figures: readonly Figure[] }>> = {
  led: { words: "LED lamp", figures: [amps, volts, count] },
  filament: { words: "filament by its figures", figures: [volts, amps, count] },
  resistor: { words: "resistor", figures: [{ key: "ohms", label: "Resistance", unit: "Ω" }, count] },
  coil: {
    words: "coil (relay, brake)",
    figures: [
      { key: "ohms", label: "Resistance", unit: "Ω" },
      { key: "henries", label: "Inductance", unit: "H" },
      count,
    ],
  },
  battery: { words: "battery", figures: [volts, { key: "ohms", label: "Inner resistance", unit: "Ω" }] },
};

const isKind = (kind: string): kind is LampSpec["kind"] => Object.hasOwn(kinds, kind);

/** A lamp by its figures. */
export function LampFields({ path, what }: { path: Path; what: string }) {
  const kind = textAt(draft.value, [...path, "kind"]);
  const figures = isKind(kind) ? kinds[kind].figures : [];
  return (
    <div class="draft-grid">
      <SelectField
        path={[...path, "kind"]}
        also={[path]}
        label={`${what}: kind`}
        options={Object.entries(kinds).map(([value, { words }]) => ({ value, text: words }))}
        onChoose={(next) => edit(path, next === "led" ? ledStart() : { kind: next })}
      />
      {figures.map(({ key, label, unit }) => (
        <NumberField
          key={key}
          path={[...path, key]}
          label={`${what}: ${label.toLowerCase()}`}
          {...(unit === undefined ? {} : { unit })}
          note={key === "count" ? "1 where left empty." : undefined}
        />
      ))}
      {kind === "led" && (
        <>
          <NumberField
            path={[...path, "kneeVolts"]}
            label={`${what}: draws nothing below`}
            unit="V"
            note={`${choices.value?.usual.kneeVolts} V where left empty.`}
          />
          <TickField path={[...path, "regulated"]} label={`${what}: holds its current (regulated)`} />
        </>
      )}
    </div>
  );
}

export const ledStart = (): Draft => ({ ...((choices.value?.usual.led ?? {}) as Draft) });

/** A bulb of the library, with its figures and where they come from. */
export function BulbField({ path, label }: { path: Path; label: string }) {
  const bulb = bulbNamed(textAt(draft.value, path));
  return (
    <SelectField
      path={path}
      label={label}
      options={bulbs.value.map(({ id, figures }) => ({ value: id, text: `${id}, ${figures}` }))}
      note={bulb && `Source: ${bulb.source}.`}
    />
  );
}
