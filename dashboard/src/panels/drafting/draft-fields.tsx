import type { DraftProblem } from "@pinwalk/host/server/plan-drafting/drafting-contract.js";
import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";
import { ToneIcon } from "../../drawing/icons.js";
import { draft, edit, problemsByPath } from "./draft-desk.js";
import { type Json, type Path, pathText, textAt, valueAt } from "./draft-paths.js";

export const fieldId = (path: Path) => `draft-${pathText(path)}`;

interface FieldProps {
  readonly path: Path;
  readonly label: string;
  /** Further places whose problems belong to this field. */
  readonly also?: readonly Path[];
  readonly note?: string | undefined;
}

function problemsAt(paths: readonly Path[]): readonly DraftProblem[] {
  const all = paths.flatMap((path) => problemsByPath.value.get(pathText(path)) ?? []);
  return [...new Map(all.map((problem) => [problem.message, problem])).values()];
}

/** What is wrong at a place of the draft, in words. */
export function Problems({ id, at }: { id?: string; at: readonly Path[] }) {
  const found = problemsAt(at);
  if (found.length === 0) return null;
  return (
    <span class="field-problems" {...(id ? { id } : {})}>
      {found.map(({ message, kind }) => {
        const open = kind === "missing";
        return (
          <span key={message} class={`field-problem tone-${open ? "unsure" : "fail"}`}>
            <ToneIcon tone={open ? "unsure" : "fail"} size={18} />
            <span>{open ? "To be filled in." : `${sentence(message)}.`}</span>
          </span>
        );
      })}
    </span>
  );
}

const sentence = (message: string) => message.charAt(0).toUpperCase() + message.slice(1);

interface FrameProps extends FieldProps {
  readonly children: (aria: {
    readonly id: string;
    readonly "aria-invalid": boolean;
    readonly "aria-describedby": string | undefined;
  }) => ComponentChildren;
}

function Frame({ path, label, also = [], note, children }: FrameProps) {
  const id = fieldId(path);
  const at = [path, ...also];
  const wrong = problemsAt(at).length > 0;
  const described = [...(wrong ? [`${id}-problems`] : []), ...(note ? [`${id}-note`] : [])].join(" ");
  return (
    <div class="field draft-field">
      <label for={id}>{label}</label>
      {children({ id, "aria-invalid": wrong, "aria-describedby": described === "" ? undefined : described })}
      {note && (
        <span class="field-note" id={`${id}-note`}>
          {note}
        </span>
      )}
      <Problems id={`${id}-problems`} at={at} />
    </div>
  );
}

interface TextProps extends FieldProps {
  readonly most: number;
  readonly list?: string;
  /** Nothing typed takes the key out. */
  readonly optional?: boolean;
  readonly onEdit?: (value: string) => void;
}

export function TextField({ most, list, optional, onEdit, ...field }: TextProps) {
  return (
    <Frame {...field}>
      {(aria) => (
        <input
          {...aria}
          type="text"
          maxLength={most}
          autoComplete="off"
          spellcheck={false}
          list={list}
          value={textAt(draft.value, field.path)}
          onInput={({ currentTarget: { value } }) =>
            onEdit ? onEdit(value) : edit(field.path, optional && value === "" ? undefined : value)
          }
        />
      )}
    </Frame>
  );
}

/** A number with its unit in the label. What is no number stays as it was typed, and the host says so. */
export function NumberField({ unit, ...field }: FieldProps & { unit?: string }) {
  const value = valueAt(draft.value, field.path);
  const [typed, setTyped] = useState("");
  const shown = asJson(typed) === value ? typed : textAt(draft.value, field.path);
  return (
    <Frame {...field} label={unit ? `${field.label}, ${unit}` : field.label}>
      {(aria) => (
        <input
          {...aria}
          type="text"
          inputMode="decimal"
          maxLength={20}
          autoComplete="off"
          value={shown}
          onInput={({ currentTarget }) => {
            setTyped(currentTarget.value);
            edit(field.path, asJson(currentTarget.value));
          }}
          onBlur={() => setTyped("")}
        />
      )}
    </Frame>
  );
}

/** `1,5` and `1.5` are the same number. */
function asJson(typed: string): Json | undefined {
  const text = typed.trim().replace(",", ".");
  if (text === "") return undefined;
  return /^-?\d*\.?\d+(e-?\d+)?$/i.test(text) || /^-?\d+\.$/.test(text) ? Number(text) : typed;
}

export interface Option {
  readonly value: string;
  readonly text: string;
}

interface SelectProps extends FieldProps {
  readonly options: readonly Option[];
  /** Where choosing does more than putting a text at the path. */
  readonly value?: string;
  readonly onChoose?: (value: string) => void;
  /** The words for nothing chosen, where that is a choice. */
  readonly none?: string;
}

export function SelectField({ options, value, onChoose, none, ...field }: SelectProps) {
  const now = value ?? textAt(draft.value, field.path);
  const known = options.some((option) => option.value === now);
  return (
    <Frame {...field}>
      {(aria) => (
        <select
          {...aria}
          value={now}
          onChange={({ currentTarget: { value: next } }) =>
            onChoose ? onChoose(next) : edit(field.path, next === "" ? undefined : next)
          }
        >
          {(none !== undefined || now === "") && <option value="">{none ?? "Choose …"}</option>}
          {!known && now !== "" && <option value={now}>{now}</option>}
          {options.map((option) => (
            <option key={option.value} value={option.value}>
              {option.text}
            </option>
          ))}
        </select>
      )}
    </Frame>
  );
}

export function TickField({ path, label }: { path: Path; label: string }) {
  return (
    <label class="draft-tick">
      <input
        type="checkbox"
        id={fieldId(path)}
        checked={valueAt(draft.value, path) === true}
        onChange={({ currentTarget: { checked } }) => edit(path, checked ? true : undefined)}
      />
      <span>{label}</span>
    </label>
  );
}

/** Fields that most plans leave to the usual figures. */
export function More({ of, children }: { of: string; children: ComponentChildren }) {
  return (
    <details class="draft-more">
      <summary>
        More <span class="said-only">{`of ${of}`}</span>
      </summary>
      <div class="draft-grid">{children}</div>
    </details>
  );
}
