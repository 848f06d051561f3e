import type { WiringView } from "@pinwalk/host/server/plan-drafting/wiring-contract.js";
import { CableDrawing } from "./cable-drawing.js";
import { InstallDrawing } from "./install-drawing.js";
import "./wiring-drawing.css";

/** The wiring of a whole plan. */
export function WiringDrawing({ wiring }: { wiring: WiringView }) {
  return wiring.kind === "install" ? <InstallDrawing wiring={wiring} /> : <CableDrawing wiring={wiring} />;
}
