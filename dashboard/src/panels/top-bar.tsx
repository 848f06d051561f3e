import { Mark } from "../drawing/icons.js";
import { bayNumber } from "../live/bay.js";
import { chosenBench, chosenPlan, link } from "../live/workbench-store.js";
import { chooseTheme, theme, themes } from "../theme.js";
import { PagesNav } from "./pages-nav.js";
import "./top-bar.css";

/** Who and what: the program, the job in hand, the pages, the link, light or dark. */
export function TopBar() {
  return (
    <header class="top-bar">
      <div class="brand">
        <Mark />
        <h1>Pinwalk</h1>
        {bayNumber > 1 && <span class="bay-badge">Bay {bayNumber}</span>}
      </div>
      <PagesNav />
      <Job />
      <LinkState />
      <ThemeChoice />
    </header>
  );
}

function Job() {
  const plan = chosenPlan.value;
  const bench = chosenBench.value;
  return (
    <p class="job">
      <strong>{plan ? plan.name : "No plan chosen"}</strong>
      <span>{bench ? bench.name : "No bench chosen"}</span>
    </p>
  );
}

const linkWords = { connecting: "Connecting", connected: "Connected", lost: "Not connected" } as const;

function LinkState() {
  return (
    <p class={`link-state link-${link.value}`} role="status">
      <svg width="14" height="14" viewBox="0 0 14 14" aria-hidden="true">
        <circle cx="7" cy="7" r="5.5" />
        {link.value === "lost" && <path d="M2 12L12 2" />}
      </svg>
      <span>{linkWords[link.value]}</span>
    </p>
  );
}

const themeWords = { system: "System", light: "Light", dark: "Dark", sunlight: "Sunlight" } as const;

function ThemeChoice() {
  return (
    <div class="theme-choice">
      <label class="said-only" for="theme">
        Light or dark
      </label>
      <select
        id="theme"
        value={theme.value}
        onChange={(event) => {
          const next = themes.find((row) => row === event.currentTarget.value);
          if (next) chooseTheme(next);
        }}
      >
        {themes.map((row) => (
          <option key={row} value={row}>
            {themeWords[row]}
          </option>
        ))}
      </select>
    </div>
  );
}
