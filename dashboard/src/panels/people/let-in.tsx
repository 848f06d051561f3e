import type { CodeView, PeopleView } from "@pinwalk/host/server/access/access-contract.js";
import { useState } from "preact/hooks";
import { ToneIcon } from "../../drawing/icons.js";
import { makeCode } from "../../live/access-requests.js";
import { OpenCode } from "./open-code.js";

const roles = [
  { role: "control", name: "May control", detail: "Everything, one person at a time." },
  { role: "watch", name: "May watch", detail: "Sees everything and can press stop, nothing else." },
] as const;

/** Makes the code with which a phone is let in, and shows it while it can be used. */
export function LetIn({ view }: { view: PeopleView }) {
  const [made, setMade] = useState<CodeView | null>(null);
  return (
    <section class="sheet" aria-labelledby="let-in">
      <div class="sheet-head">
        <h2 id="let-in">Let a phone in</h2>
      </div>
      {view.addresses.length === 0 ? (
        <NotOnLan />
      ) : made && view.code === "open" ? (
        <OpenCode made={made} />
      ) : (
        <Form code={view.code} onMade={setMade} />
      )}
    </section>
  );
}

function NotOnLan() {
  return (
    <div class="let-in-closed">
      <p>Pinwalk answers on this computer alone now. To let phones in, end it and start it like this:</p>
      <p>
        <code>npm start -- --lan</code>
      </p>
      <p class="sheet-note">
        Then phones on the same network can be paired here. Nothing is encrypted on the way, so use it only on a network
        whose people you trust.
      </p>
    </div>
  );
}

const codeWords = {
  none: null,
  open: null,
  used: { tone: "pass", text: "The code was used: the phone is in." },
  expired: { tone: "unsure", text: "The code is too old now. Make another." },
  guessed: { tone: "fail", text: "Somebody on the network tried many wrong codes, so the code is void. Make another." },
} as const;

function Form({ code, onMade }: { code: PeopleView["code"]; onMade: (made: CodeView) => void }) {
  const [name, setName] = useState("Phone");
  const [role, setRole] = useState<(typeof roles)[number]["role"]>("control");
  const [handOver, setHandOver] = useState(true);
  const [problem, setProblem] = useState<string | null>(null);
  const make = async () => {
    const answer = await makeCode({ name: name.trim(), role, handOver: handOver && role === "control" });
    setProblem(answer.ok ? null : answer.message);
    if (answer.ok) onMade(answer.value);
  };
  const before = codeWords[code];
  return (
    <form
      class="let-in-form"
      onSubmit={(event) => {
        event.preventDefault();
        void make();
      }}
    >
      {before && (
        <p class="let-in-before" role="status">
          <ToneIcon tone={before.tone} />
          {before.text}
        </p>
      )}
      <div class="field">
        <label for="phone-name">What to call it here</label>
        <input
          id="phone-name"
          value={name}
          maxLength={40}
          required
          onInput={(event) => setName(event.currentTarget.value)}
        />
      </div>
      <fieldset class="let-in-roles">
        <legend class="said-only">What it may do</legend>
        <ul class="choice-list">
          {roles.map((row) => (
            <li key={row.role}>
              <label class="choice">
                <input type="radio" name="role" checked={role === row.role} onChange={() => setRole(row.role)} />
                <span class="choice-name">{row.name}</span>
                <span class="choice-detail">{row.detail}</span>
              </label>
            </li>
          ))}
        </ul>
      </fieldset>
      {role === "control" && (
        <label class="choice let-in-over">
          <input type="checkbox" checked={handOver} onChange={(event) => setHandOver(event.currentTarget.checked)} />
          <span class="choice-name">Hand control over to it as soon as it is in</span>
          <span class="choice-detail">You can take it back here at any time.</span>
        </label>
      )}
      {problem && (
        <div class="refusal" role="alert">
          <ToneIcon tone="fail" />
          <strong>{problem}</strong>
        </div>
      )}
      <button type="submit" class="button button-solid">
        Make a code
      </button>
    </form>
  );
}
