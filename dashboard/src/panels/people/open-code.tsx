import type { CodeView } from "@pinwalk/host/server/access/access-contract.js";
import { useEffect, useState } from "preact/hooks";
import { cancelCode } from "../../live/access-requests.js";

/** A quiet zone of four modules is the least that every reader accepts (ISO/IEC 18004). */
const quiet = 4;

/** The code while it can be used: to scan, or to type in, and how long it still works. */
export function OpenCode({ made }: { made: CodeView }) {
  const [chosen, setChosen] = useState(0);
  const place = made.places[chosen] ?? made.places[0];
  if (!place) return null;
  const side = place.qrSize + 2 * quiet;
  return (
    <div class="open-code">
      <svg
        class="qr"
        viewBox={`${-quiet} ${-quiet} ${side} ${side}`}
        role="img"
        aria-label={`QR code that opens ${place.url} with the code`}
        shape-rendering="crispEdges"
      >
        <path fill="#fff" d={`M${-quiet} ${-quiet}h${side}v${side}h-${side}z`} />
        <path fill="#000" d={place.qrPath} />
      </svg>
      <div class="open-code-said">
        <p>Scan it with the phone’s camera. Or open this address there and type the code in:</p>
        <p class="open-code-url">{place.url}</p>
        <p class="open-code-digits">
          {made.code.slice(0, 4)}&nbsp;{made.code.slice(4)}
        </p>
        <TimeLeft lastsMs={made.lastsMs} />
        {made.places.length > 1 && (
          <div class="field">
            <label for="code-place">The phone is on the network of</label>
            <select id="code-place" value={chosen} onChange={(event) => setChosen(Number(event.currentTarget.value))}>
              {made.places.map(({ url }, index) => (
                <option key={url} value={index}>
                  {new URL(url).host}
                </option>
              ))}
            </select>
          </div>
        )}
        <button type="button" class="button" onClick={() => void cancelCode()}>
          Cancel this code
        </button>
      </div>
    </div>
  );
}

function TimeLeft({ lastsMs }: { lastsMs: number }) {
  const [leftMs, setLeftMs] = useState(lastsMs);
  useEffect(() => {
    const end = performance.now() + lastsMs;
    const timer = setInterval(() => setLeftMs(Math.max(0, end - performance.now())), 500);
    return () => clearInterval(timer);
  }, [lastsMs]);
  const seconds = Math.ceil(leftMs / 1000);
  return (
    <p class="sheet-note">
      Works once, for another {Math.floor(seconds / 60)}:{String(seconds % 60).padStart(2, "0")}
    </p>
  );
}
