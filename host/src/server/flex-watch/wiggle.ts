import type { Fault } from "../../plan/fault.js";
import type { Wiggle } from "./flex-watch-contract.js";

interface LooseWire {
  readonly fault: Fault;
  readonly spells: readonly { readonly afterMs: number; readonly lengthMs: number }[];
}

/** From the button to the first interruption: the strip has it well inside its right edge. */
const soonMs = 60;
const burst = [1, 4, 2, 9, 1.5, 30, 3];
/** A crimp that is strained: several times what a sound one has, well above the usual limit of 0.1 Ω. */
const strainOhms = 0.6;

/** What a hand does to the conductor of a simulated cable. */
export function wiggleOf(how: Wiggle, pin: string): LooseWire {
  const open: Fault = { kind: "open", at: `wire:${pin}` };
  switch (how) {
    case "blink":
      return { fault: open, spells: [{ afterMs: soonMs, lengthMs: 1 }] };
    case "break":
      return { fault: open, spells: [{ afterMs: soonMs, lengthMs: 120 }] };
    case "burst":
      return { fault: open, spells: burst.map((lengthMs, index) => ({ afterMs: soonMs + index * 55, lengthMs })) };
    case "strain":
      return {
        fault: { kind: "high-resistance", at: `wire:${pin}`, ohms: strainOhms },
        spells: [{ afterMs: soonMs, lengthMs: 700 }],
      };
  }
}
