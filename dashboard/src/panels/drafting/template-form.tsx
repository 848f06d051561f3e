import { useId, useState } from "preact/hooks";
import { startFromTemplate } from "./draft-actions.js";
import { choices } from "./draft-desk.js";
import { connectorNamed } from "./draft-lookup.js";

/** Begins a plan from a template or from nothing: what kind, on which connector, and its name. */
export function TemplateForm() {
  const templates = choices.value?.templates ?? [];
  const [id, setId] = useState<string | null>(null);
  const [near, setNear] = useState<string | null>(null);
  const [far, setFar] = useState<string | null>(null);
  const [name, setName] = useState("");
  const nameField = useId();
  const template = templates.find((one) => one.id === id) ?? templates[0];
  if (!template) return null;
  const own = (wanted: string | null, offered: readonly string[]) =>
    wanted !== null && offered.includes(wanted) ? wanted : (offered[0] ?? "");
  const connector = own(near, template.connectors);
  const farConnector = template.farConnectors.length > 0 ? own(far, template.farConnectors) : null;
  return (
    <section class="sheet" aria-labelledby="template-title">
      <div class="sheet-head">
        <h2 id="template-title">Make a plan</h2>
      </div>
      <form
        class="template-form"
        onSubmit={(event) => {
          event.preventDefault();
          void startFromTemplate(template.id, connector, farConnector, name);
        }}
      >
        <fieldset>
          <legend class="said-only">Begin from</legend>
          <ul class="choice-list">
            {templates.map((one) => (
              <li key={one.id}>
                <label class="choice">
                  <input type="radio" name="template" checked={one === template} onChange={() => setId(one.id)} />
                  <span class="choice-name">{one.title}</span>
                  <span class="choice-detail">{one.detail}</span>
                </label>
              </li>
            ))}
          </ul>
        </fieldset>
        <div class="draft-grid">
          <ConnectorChoice
            label={template.kind === "cable" ? "Near connector" : "Connector"}
            offered={template.connectors}
            value={connector}
            onChoose={setNear}
          />
          {farConnector !== null && (
            <ConnectorChoice
              label="Far connector"
              offered={template.farConnectors}
              value={farConnector}
              onChoose={setFar}
            />
          )}
          <div class="field">
            <label for={nameField}>Name, for instance customer and vehicle</label>
            <input
              id={nameField}
              type="text"
              maxLength={120}
              autoComplete="off"
              value={name}
              onInput={({ currentTarget }) => setName(currentTarget.value)}
            />
          </div>
        </div>
        <button type="submit" class="button button-solid">
          Begin this plan
        </button>
      </form>
    </section>
  );
}

interface ConnectorChoiceProps {
  readonly label: string;
  readonly offered: readonly string[];
  readonly value: string;
  readonly onChoose: (id: string) => void;
}

function ConnectorChoice({ label, offered, value, onChoose }: ConnectorChoiceProps) {
  const id = useId();
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <select id={id} value={value} onChange={({ currentTarget }) => onChoose(currentTarget.value)}>
        {offered.map((one) => (
          <option key={one} value={one}>
            {connectorNamed(one)?.name ?? one}
          </option>
        ))}
      </select>
    </div>
  );
}
