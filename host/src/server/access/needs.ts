import type { CommandName } from "../contract.js";

/**
 * What it takes to do something. `anybody`: not even pairing; `paired`: to be paired or at the computer; `role`: to be let
 * control, whoever does so now; `seat`: to be the one who controls; `computer`: to be at the computer itself.
 */
export type Need = "anybody" | "paired" | "role" | "seat" | "computer";

/** Commands that do not need the seat. Whatever is not named here does. */
const commandNeeds: Partial<Record<CommandName, Need>> = {
  "walk:stop": "paired",
  "control:ask": "role",
  "control:give": "role",
  "control:refuse": "seat",
  "people:end": "computer",
};

export function needOfCommand(name: CommandName): Need {
  return commandNeeds[name] ?? "seat";
}

interface RouteRow {
  readonly methods: readonly string[];
  readonly path: RegExp;
  readonly need: Need;
}

const look = ["GET", "HEAD"];

/** Requests that do not need the seat; the first row that fits counts. Whatever fits none does. */
const routeNeeds: readonly RouteRow[] = [
  { methods: look, path: /^\/pair\//, need: "anybody" },
  { methods: ["POST"], path: /^\/access\/pair$/, need: "anybody" },
  { methods: look, path: /^\/access\/me$/, need: "paired" },
  { methods: ["POST"], path: /^\/access\/leave$/, need: "paired" },
  { methods: ["POST"], path: /^\/access\/codes(\/cancel)?$/, need: "computer" },
  { methods: look, path: /^\/(documents|records|plans|assets|flex-watch|listening|bench-care)\/[^.%]/, need: "paired" },
  // Whoever drafts a plan drives nothing.
  { methods: ["POST"], path: /^\/plans\/(weigh|refit|save|delete)$/, need: "role" },
  { methods: look, path: /^\/([a-z-]+\.(html|svg|png|js|json|webmanifest))?$/, need: "paired" },
];

export function needOfRoute(method: string, path: string): Need {
  return routeNeeds.find((row) => row.methods.includes(method) && row.path.test(path))?.need ?? "seat";
}
