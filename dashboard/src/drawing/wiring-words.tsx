import type { WireText, WiringView } from "@pinwalk/host/server/plan-drafting/wiring-contract.js";

const wireWords = ({ text, colour }: WireText) => `${colour ?? "colour not named"}, ${text}`;

/** What the drawing shows, for reading aloud and for a narrow screen. */
export function WiringWords({ wiring }: { wiring: WiringView }) {
  if (wiring.kind === "cable")
    return (
      <ul class="wiring-words">
        {wiring.conductors.map(({ near, nearText, far, farText, wire }) => (
          <li key={near}>
            <b>{near}</b> ({nearText}) to <b>{far}</b> ({farText}): {wireWords(wire)}.
          </li>
        ))}
      </ul>
    );
  const lamps = new Map(
    wiring.housings.flatMap(({ name, lamps }) => lamps.map((lamp) => [lamp.id, { name, ...lamp }])),
  );
  return (
    <ul class="wiring-words">
      {wiring.circuits.map(({ pin, functionText, wire, feeds }) => (
        <li key={pin}>
          <b>{pin}</b> ({functionText}): {wireWords(wire)}
          <ul>
            {feeds.map((feed) => {
              const lamp = lamps.get(feed.lamp);
              return (
                <li key={feed.lamp}>
                  {feed.wire && `over a jumper, ${wireWords(feed.wire)}, `}
                  {feed.diode === null ? "straight" : `through a ${feed.diode}`} to {lamp?.name ?? feed.lamp}
                  {lamp && ` (${lamp.load})`}
                  {lamp?.ownFeed && `; ${lamp.ownFeed}`}
                  {lamp?.vehicleWire && `; vehicle's wire: ${lamp.vehicleWire}`}
                </li>
              );
            })}
          </ul>
        </li>
      ))}
      <li>
        <b>{wiring.ground.pin}</b> (ground): {wireWords(wiring.ground.wire)} to bare metal of the vehicle. Every lamp
        has its own ground there.
      </li>
    </ul>
  );
}
