import type { FacePin, FaceView } from "@pinwalk/host/server/contract.js";
import { useId } from "preact/hooks";
import type { Tone } from "../words/verdict-words.js";
import { wireShades } from "../words/wire-colours.js";
import { ToneMark } from "./icons.js";
import "./connector-face.css";

export type Side = "mating" | "wiring";

interface ConnectorFaceProps {
  readonly face: FaceView;
  readonly side: Side;
  readonly lit: string | null;
  readonly tones: Readonly<Record<string, Tone>>;
}

/** How far out the outermost contacts are drawn, in units of the drawing. */
const outermost = { round: 74, row: 92 } as const;

/** The connector drawn from one of its two sides; the wiring side is the mirror image and carries a hatched shell. */
export function ConnectorFace({ face, side, lit, tones }: ConnectorFaceProps) {
  // Several faces may stand on one page.
  const hatch = `hatch-${useId()}`;
  const row = face.outline === "row";
  const scale = scaleOf(face);
  const halfHeight = row ? 48 : 122;
  return (
    <svg
      class={`connector-face face-${side}`}
      viewBox={`-126 ${-halfHeight} 252 ${halfHeight * 2}`}
      role="img"
      aria-label={`${face.title}, ${side} side${lit ? `, pin ${lit} under test` : ""}`}
    >
      <defs>
        <pattern id={hatch} width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
          <path class="face-hatch" d="M0 0v7" />
        </pattern>
      </defs>
      {row ? (
        <>
          <rect class="face-shell" x="-122" y="-44" width="244" height="88" rx="6" />
          {side === "wiring" && <rect x="-122" y="-44" width="244" height="88" rx="6" fill={`url(#${hatch})`} />}
          <rect class="face-floor" x="-113" y="-35" width="226" height="70" rx="3" />
        </>
      ) : (
        <>
          <circle class="face-shell" r="118" />
          {side === "wiring" && <circle r="118" fill={`url(#${hatch})`} />}
          <circle class="face-floor" r="104" />
        </>
      )}
      {face.pins.map((pin) => (
        <Pin
          key={pin.pin}
          pin={pin}
          scale={scale}
          radius={pinRadius(face, scale)}
          mirrored={side === "wiring"}
          lit={pin.pin === lit}
          tone={tones[pin.pin]}
        />
      ))}
    </svg>
  );
}

/** From the units of the face to those of the drawing. */
function scaleOf(face: FaceView): number {
  const farthest = Math.max(...face.pins.map(({ x, y }) => Math.hypot(x, y)));
  return farthest > 0 ? outermost[face.outline] / farthest : outermost[face.outline];
}

/** As large as the closest two pins allow. */
function pinRadius(face: FaceView, scale: number): number {
  let closest = 2;
  for (const [index, one] of face.pins.entries())
    for (const other of face.pins.slice(index + 1))
      closest = Math.min(closest, Math.hypot(one.x - other.x, one.y - other.y));
  return Math.min(24, closest * scale * 0.37);
}

interface PinProps {
  readonly pin: FacePin;
  readonly scale: number;
  readonly radius: number;
  readonly mirrored: boolean;
  readonly lit: boolean;
  readonly tone: Tone | undefined;
}

function Pin({ pin, scale, radius, mirrored, lit, tone }: PinProps) {
  const x = (mirrored ? -pin.x : pin.x) * scale;
  const y = pin.y * scale;
  const [base, stripe] = pin.colour && pin.role !== "unused" ? wireShades(pin.colour) : [];
  const turn = (Math.atan2(y, x) * 180) / Math.PI + 90;
  const contact = (grow: number, className: string, stroke?: string) =>
    pin.shape === "blade" ? (
      <rect
        class={className}
        x={-(radius + grow)}
        y={-(radius * 0.78 + grow)}
        width={(radius + grow) * 2}
        height={(radius * 0.78 + grow) * 2}
        rx="3"
        transform={`rotate(${turn})`}
        style={stroke ? { stroke } : {}}
      />
    ) : (
      <circle class={className} r={radius + grow} style={stroke ? { stroke } : {}} />
    );
  return (
    <g class={`face-pin role-${pin.role}${lit ? " pin-lit" : ""}`} transform={`translate(${x} ${y})`}>
      {lit && contact(11, "pin-halo")}
      {contact(4.5, "pin-edge")}
      {base && contact(1.5, "pin-wire", base)}
      {stripe && contact(1.5, "pin-stripe", stripe)}
      {contact(-1.5, "pin-body")}
      <text class="pin-letter" style={{ fontSize: `${radius * (pin.pin.length > 1 ? 0.8 : 1)}px` }} y={radius * 0.3}>
        {pin.pin}
      </text>
      {tone && tone !== "none" && (
        <g transform={`translate(${radius * 0.95} ${-radius * 0.95}) scale(${radius / 30})`}>
          <circle class="pin-badge" r="15" />
          <ToneMark tone={tone} />
        </g>
      )}
    </g>
  );
}
