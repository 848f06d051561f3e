import type { CableWiring } from "@pinwalk/host/server/plan-drafting/wiring-contract.js";
import { WireLine } from "./wire-line.js";

const width = 660;
const rowHeight = 62;
const left = 26;
const right = width - 26;

/** A cable from its near plug to its far one, a row a conductor. */
export function CableDrawing({ wiring }: { wiring: CableWiring }) {
  const height = 44 + wiring.conductors.length * rowHeight;
  return (
    <svg
      class="wiring"
      viewBox={`0 0 ${width} ${height}`}
      width={width}
      height={height}
      role="img"
      aria-label={`Cable from ${wiring.near} to ${wiring.far}: ${wiring.conductors.length} conductors. The same stands in words below.`}
    >
      <text class="wiring-title" x="8" y="20">
        Near: {wiring.near}
      </text>
      <text class="wiring-title" x={width - 8} y="20" text-anchor="end">
        Far: {wiring.far}
      </text>
      {wiring.conductors.map(({ near, nearText, far, farText, wire }, at) => {
        const y = 66 + at * rowHeight;
        return (
          <g key={near} class="wiring-pin">
            <WireLine d={`M${left + 16} ${y}H${right - 16}`} colour={wire.colour} />
            <circle cx={left} cy={y} r="16" />
            <text class="wiring-pin-name" x={left} y={y + 5}>
              {near}
            </text>
            <circle cx={right} cy={y} r="16" />
            <text class="wiring-pin-name" x={right} y={y + 5}>
              {far}
            </text>
            <text x={left + 24} y={y - 9}>
              {cut(nearText)}
            </text>
            <text x={right - 24} y={y - 9} text-anchor="end">
              {cut(farText)}
            </text>
            <text class="wiring-soft" x={width / 2} y={y + 19} text-anchor="middle">
              {wire.colour ?? "colour not named"}, {wire.text}
            </text>
          </g>
        );
      })}
    </svg>
  );
}

const cut = (words: string) => (words.length > 42 ? `${words.slice(0, 41)}…` : words);
