import type { InstallWiring, WireText } from "@pinwalk/host/server/plan-drafting/wiring-contract.js";
import { WireLine } from "./wire-line.js";
import { type PlacedCircuit, type PlacedHousing, pinX, wiringLayout } from "./wiring-layout.js";

/** Pins on the left, lamps by their side on the right; splices are dots, every lamp and the connector have their ground. */
export function InstallDrawing({ wiring }: { wiring: InstallWiring }) {
  const layout = wiringLayout(wiring);
  const { width, height, circuits, housings, groundY, lampX } = layout;
  const lamps = housings.reduce((sum, housing) => sum + housing.lamps.length, 0);
  return (
    <svg
      class="wiring"
      viewBox={`0 0 ${width} ${height}`}
      width={width}
      height={height}
      role="img"
      aria-label={`Wiring from the ${wiring.connector}: ${counted(circuits.length, "circuit")} to ${counted(lamps, "lamp")}. The same stands in words below.`}
    >
      {housings.map((housing) => (
        <rect
          key={housing.y}
          class="wiring-housing"
          x={lampX - 24}
          y={housing.y}
          width={width - lampX + 22}
          height={housing.height}
          rx="4"
        />
      ))}
      <WireLine d={`M${pinX + 16} ${groundY}H268`} colour={wiring.ground.wire.colour} />
      <Ground x={268} y={groundY} />
      {/* From right to left, so that a trunk passes over the lanes that it crosses. */}
      {[...circuits].reverse().map((placed) => (
        <CircuitWires key={placed.circuit.pin} placed={placed} lampX={lampX} />
      ))}
      {circuits.map((placed) => (
        <PinLabel
          key={placed.circuit.pin}
          pin={placed.circuit.pin}
          y={placed.y}
          words={placed.circuit.functionText}
          wire={placed.circuit.wire}
          apart={placed.circuit.neverDriven}
        />
      ))}
      <PinLabel pin={wiring.ground.pin} y={groundY} words="ground" wire={wiring.ground.wire} apart={false} />
      <text class="wiring-soft" x="290" y={groundY + 5}>
        to bare metal of the vehicle
      </text>
      {housings.map((housing) => (
        <Housing key={housing.y} housing={housing} lampX={lampX} />
      ))}
    </svg>
  );
}

const counted = (count: number, word: string) => `${count} ${word}${count === 1 ? "" : "s"}`;
const wireWords = ({ text, colour }: WireText) => `${colour ?? "colour not named"}, ${text}`;
const short = (words: string, most: number) => (words.length > most ? `${words.slice(0, most - 1)}…` : words);

interface PinLabelProps {
  readonly pin: string;
  readonly y: number;
  readonly words: string;
  readonly wire: WireText;
  readonly apart: boolean;
}

function PinLabel({ pin, y, words, wire, apart }: PinLabelProps) {
  return (
    <g class={apart ? "wiring-pin wiring-pin-apart" : "wiring-pin"}>
      <circle cx={pinX} cy={y} r="16" />
      <text class="wiring-pin-name" x={pinX} y={y + 5}>
        {pin}
      </text>
      <text x={pinX + 24} y={y - 8}>
        {short(words, 36)}
      </text>
      <text class="wiring-soft" x={pinX + 24} y={y + 19}>
        {short(`${wireWords(wire)}${apart ? ", never driven" : ""}`, 40)}
      </text>
    </g>
  );
}

/** Pieces of one colour are one line, so that corners and splices have no seams. */
function linesOf({ circuit, y, laneX, feeds }: PlacedCircuit, lampX: number): ReadonlyMap<string | null, string> {
  const heights = [y, ...feeds.map((one) => one.y)];
  const trunk = `M${pinX + 16} ${y}H${laneX}M${laneX} ${Math.min(...heights)}V${Math.max(...heights)}`;
  const lines = new Map([[circuit.wire.colour, trunk]]);
  for (const { feed, y: at } of feeds) {
    const colour = feed.wire === null ? circuit.wire.colour : feed.wire.colour;
    lines.set(colour, `${lines.get(colour) ?? ""}M${laneX} ${at}H${lampX - 12}`);
  }
  return lines;
}

function CircuitWires({ placed, lampX }: { placed: PlacedCircuit; lampX: number }) {
  const { y, laneX, feeds } = placed;
  const heights = [y, ...feeds.map((one) => one.y)];
  const top = Math.min(...heights);
  const bottom = Math.max(...heights);
  const joints = feeds.filter(
    (one) => feeds.length > 1 && (one.y > top || y === top) && (one.y < bottom || y === bottom),
  );
  return (
    <g>
      {[...linesOf(placed, lampX)].map(([colour, d]) => (
        <WireLine key={colour} d={d} colour={colour} />
      ))}
      {feeds.length > 1 &&
        [y, ...joints.map((one) => one.y)].map((at) => (
          <circle key={at} class="wiring-splice" cx={laneX} cy={at} r="5" />
        ))}
      {feeds.map(({ feed, y: at }) => (
        <g key={feed.lamp}>
          {feed.wire && (
            <text class="wiring-soft" x={lampX - 78} y={at - 9} text-anchor="end">
              {wireWords(feed.wire)}
            </text>
          )}
          {feed.diode === null ? (
            <text class="wiring-soft" x={lampX - 30} y={at + 18} text-anchor="end">
              straight through
            </text>
          ) : (
            <>
              <Diode x={lampX - 62} y={at} />
              <text class="wiring-soft" x={lampX - 30} y={at + 22} text-anchor="end">
                {feed.diode}
              </text>
            </>
          )}
        </g>
      ))}
    </g>
  );
}

/** The bar stands on the lamp's side: current goes to the lamp and not back. */
function Diode({ x, y }: { x: number; y: number }) {
  return (
    <g class="wiring-diode" transform={`translate(${x} ${y})`}>
      <path class="wiring-diode-body" d="M-9-8L7 0L-9 8Z" />
      <path d="M8-9V9" />
    </g>
  );
}

function Ground({ x, y }: { x: number; y: number }) {
  return (
    <path class="wiring-ground" d={`M${x} ${y}v10M${x - 9} ${y + 10}h18M${x - 6} ${y + 14}h12M${x - 3} ${y + 18}h6`} />
  );
}

function Housing({ housing, lampX }: { housing: PlacedHousing; lampX: number }) {
  return (
    <g>
      <text class="wiring-title" x={lampX - 12} y={housing.y + 20}>
        {short(housing.name, 30)}
        {housing.side !== "centre" && !housing.name.toLowerCase().includes(housing.side) && (
          <tspan class="wiring-soft">{` (${housing.side})`}</tspan>
        )}
      </text>
      {housing.lamps.map(({ lamp, y, lines }) => (
        <g key={lamp.id}>
          <path class="wiring-ground" d={`M${lampX} ${y + 11}v4`} />
          <Ground x={lampX} y={y + 11} />
          <circle class="wiring-lamp" cx={lampX} cy={y} r="11" />
          <path class="wiring-lamp" d={`M${lampX - 7.8} ${y - 7.8}l15.6 15.6M${lampX + 7.8} ${y - 7.8}l-15.6 15.6`} />
          <text x={lampX + 22} y={y + 5}>
            {short(lamp.load, 30)}
          </text>
          {lines.map((line, at) => (
            <text key={line} class="wiring-soft" x={lampX + 22} y={y + 23 + at * 15}>
              {line}
            </text>
          ))}
        </g>
      ))}
    </g>
  );
}
