import type { RearLampView } from "@pinwalk/host/server/contract.js";
import type { ComponentChildren } from "preact";
import "./rear-view.css";

interface RearViewProps {
  readonly lamps: readonly RearLampView[];
  readonly label: string;
  /** What stands for one filament of a lamp. */
  readonly filament: (lamp: RearLampView, filament: RearLampView["filaments"][number]) => ComponentChildren;
}

/** A vehicle from behind, with its lamps on their sides: left is left. As high as its lamps need. */
export function RearView({ lamps, label, filament }: RearViewProps) {
  return (
    <fieldset class="rear">
      <legend class="said-only">{label}</legend>
      <svg class="rear-top" viewBox="0 0 200 44" preserveAspectRatio="none" aria-hidden="true">
        <path class="rear-shape" d="M0.4 44L26 6Q29 2 36 2H164Q171 2 174 6L199.6 44" />
        <path class="rear-glass" d="M24 38L40 12H160L176 38Z" />
      </svg>
      <div class="rear-body">
        {(["left", "centre", "right"] as const).map((side) => (
          <div key={side} class={`rear-side rear-${side}`}>
            {lamps
              .filter((lamp) => lamp.side === side)
              .map((lamp) => (
                <div key={lamp.filaments[0]?.id} class="housing">
                  <span class="housing-name">{lamp.name}</span>
                  {lamp.filaments.map((one) => filament(lamp, one))}
                </div>
              ))}
          </div>
        ))}
      </div>
      <svg class="rear-foot" viewBox="0 0 200 26" preserveAspectRatio="none" aria-hidden="true">
        <path class="rear-tyre" d="M16 8H50V25H16ZM150 8H184V25H150Z" />
        <path class="rear-shape" d="M0.4 1H199.6V12H0.4Z" />
      </svg>
    </fieldset>
  );
}
