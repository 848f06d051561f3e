import { useEffect, useState } from "preact/hooks";

interface SettledInputProps {
  readonly id: string;
  /** As the server has it. */
  readonly value: string | number;
  readonly disabled: boolean;
  /** Bounds of a number, or the greatest length of a text. */
  readonly bounds: { readonly least: number; readonly most: number; readonly step: number | "any" } | number;
  /** What was typed, once it is finished and fits; else the browser says what is wrong with it. */
  readonly onSettled: (field: HTMLInputElement) => void;
}

/** A field for a setting that every browser shares: what the server tells meanwhile does not take away what is being typed. */
export function SettledInput({ id, value, disabled, bounds, onSettled }: SettledInputProps) {
  const [draft, setDraft] = useState<string | null>(null);
  useEffect(() => setDraft(null), [value]);
  const kind =
    typeof bounds === "number"
      ? ({ type: "text", maxLength: bounds, autoComplete: "off" } as const)
      : ({
          type: "number",
          inputMode: "decimal",
          min: bounds.least,
          max: bounds.most,
          step: bounds.step,
          required: true,
        } as const);
  return (
    <input
      id={id}
      {...kind}
      disabled={disabled}
      value={draft ?? value}
      onInput={({ currentTarget }) => setDraft(currentTarget.value)}
      onChange={({ currentTarget: field }) => {
        if (field.reportValidity()) onSettled(field);
      }}
    />
  );
}
