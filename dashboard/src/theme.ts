import { signal } from "@preact/signals";

/** What a person can choose; `system` follows the machine's own setting, `sunlight` is read outdoors. */
export const themes = ["system", "light", "dark", "sunlight"] as const;
export type Theme = (typeof themes)[number];

const storageKey = "pinwalk.theme";

function remembered(): Theme {
  // Reading storage throws where a browser forbids it; the dashboard then follows the system.
  try {
    return themes.find((theme) => theme === localStorage.getItem(storageKey)) ?? "system";
  } catch {
    return "system";
  }
}

export const theme = signal<Theme>(remembered());

const dark = matchMedia("(prefers-color-scheme: dark)");
/** Whether the machine's own setting is dark now; whoever has painted a canvas in the page's colours paints it anew. */
export const systemDark = signal(dark.matches);
dark.addEventListener("change", () => {
  systemDark.value = dark.matches;
});

/** Puts the chosen theme on the page; style sheets do the rest. */
export function applyTheme(): void {
  const root = document.documentElement;
  if (theme.value === "system") root.removeAttribute("data-theme");
  else root.setAttribute("data-theme", theme.value);
}

/** Goes to the next theme and remembers it in this browser. */
export function chooseTheme(next: Theme): void {
  theme.value = next;
  applyTheme();
  try {
    localStorage.setItem(storageKey, next);
  } catch {
    // Not remembered; it still holds until the page is closed.
  }
}
