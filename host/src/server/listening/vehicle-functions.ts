import type { SaidFunction } from "./listening-contract.js";

/** What most people switch when they look for a wire; anything else they name themselves. */
const usual = ["tail lamps", "brake pedal", "left turn", "right turn", "reversing lamps", "rear fog lamp"] as const;

/** All of them off. */
export const saidFunctions: readonly SaidFunction[] = usual.map((name) => ({ name, text: name, on: false }));
