import type { SimulatedView } from "@pinwalk/host/server/bench-care/bench-care-contract.js";
import { useState } from "preact/hooks";
import { send } from "../../live/connection.js";

/** Only on the virtual bench: does what the step asks for, and shows what a meter would. */
export function SimulatedStep({ simulated }: { simulated: SimulatedView }) {
  const [going, setGoing] = useState(false);
  const { offer, pluggedIn, meterVolts } = simulated;
  const obey = async () => {
    setGoing(true);
    await send("bench-care:simulate", {});
    setGoing(false);
  };
  return (
    <div class="simulated-step">
      <p class="sheet-note">
        Virtual bench: plugged in now is <strong>{pluggedIn}</strong>.
        {meterVolts !== null && (
          <>
            {" "}
            The simulated meter shows <strong>{meterVolts.toFixed(3)}&nbsp;V</strong>.
          </>
        )}
      </p>
      {offer !== null && (
        <button type="button" class="button" disabled={going} onClick={() => void obey()}>
          {offer}
        </button>
      )}
    </div>
  );
}
