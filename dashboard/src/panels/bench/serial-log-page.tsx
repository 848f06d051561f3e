import type { SerialLineView } from "@pinwalk/host/server/bench-care/bench-care-contract.js";
import { useEffect, useRef, useState } from "preact/hooks";
import { useSerialLines } from "../../live/serial-lines.js";
import { benches } from "../../live/workbench-store.js";

/** As many as a person scrolls through; the whole log is in the file. */
const mostShown = 400;

/** Every line to and from the benches, as it goes; it can be read, held still, and saved. */
export function SerialLogPage() {
  const { lines, held, hold, problem } = useSerialLines();
  const [sought, setSought] = useState("");
  const [path, setPath] = useState("");
  const list = useRef<HTMLOListElement>(null);
  const followed = useRef(true);
  const paths = (benches.value?.found ?? []).map((bench) => bench.path);
  const text = sought.trim().toLowerCase();
  const fits = (line: SerialLineView) =>
    (path === "" || line.path === path) &&
    (line.raw.toLowerCase().includes(text) || line.words.toLowerCase().includes(text));
  const shown = lines.filter(fits).slice(-mostShown);
  const last = shown.at(-1)?.seq;
  useEffect(() => {
    const place = list.current;
    if (place && followed.current) place.scrollTop = place.scrollHeight;
  }, [last]);
  return (
    <section class="sheet" aria-labelledby="serial-title">
      <div class="sheet-head">
        <h2 id="serial-title">Serial line</h2>
        <p class="sheet-note">
          {held ? "Held still" : "Live"}, {shown.length} of {lines.length} lines
        </p>
      </div>
      <div class="serial-controls">
        <div class="field">
          <label for="serial-sought">Only lines with</label>
          <input
            id="serial-sought"
            type="search"
            maxLength={60}
            autoComplete="off"
            value={sought}
            onInput={(event) => setSought(event.currentTarget.value)}
          />
        </div>
        <div class="field">
          <label for="serial-path">Of</label>
          <select id="serial-path" value={path} onChange={(event) => setPath(event.currentTarget.value)}>
            <option value="">every bench</option>
            {paths.map((one) => (
              <option key={one} value={one}>
                {one}
              </option>
            ))}
          </select>
        </div>
        <button type="button" class="button" aria-pressed={held} onClick={() => hold(!held)}>
          {held ? "Go on" : "Hold still"}
        </button>
        <a
          class="button"
          href={`/bench-care/serial.txt${path === "" ? "" : `?${new URLSearchParams({ path })}`}`}
          download
        >
          Save as text
        </a>
      </div>
      {problem !== null && <p class="sheet-note">{problem}</p>}
      {shown.length === 0 ? (
        <p class="empty">
          {lines.length === 0 ? "Nothing has gone over a line yet. Ask a bench, or start a walk." : "No line fits."}
        </p>
      ) : (
        <ol
          ref={list}
          class="serial-lines"
          // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by the keyboard
          tabIndex={0}
          aria-label="Lines, the newest last"
          onScroll={({ currentTarget: place }) => {
            // Whoever has scrolled up reads there.
            followed.current = place.scrollHeight - place.scrollTop - place.clientHeight < 60;
          }}
        >
          {shown.map((line) => (
            <Line key={line.seq} line={line} />
          ))}
        </ol>
      )}
    </section>
  );
}

function Line({ line }: { line: SerialLineView }) {
  const asked = line.direction === "to-bench";
  return (
    <li class={asked ? "serial-asked" : "serial-heard"}>
      <span class="serial-at">{clockText(line.at)}</span>
      <span class="serial-way">
        <span aria-hidden="true">{asked ? "→" : "←"}</span>
        <span class="said-only">{asked ? "to the bench" : "from the bench"}</span>
      </span>
      <span class="serial-words">{line.words}</span>
      <code class="serial-raw">{line.raw}</code>
    </li>
  );
}

const pad = (value: number, width = 2) => String(value).padStart(width, "0");

/** `21:04:07.312`: of this computer's clock. */
function clockText(at: number): string {
  const time = new Date(at);
  return `${pad(time.getHours())}:${pad(time.getMinutes())}:${pad(time.getSeconds())}.${pad(time.getMilliseconds(), 3)}`;
}
