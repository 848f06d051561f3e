import type { Part } from "../../circuit/network.js";
import type { FaultedVehicle } from "./faulted-vehicle.js";

/** One change of one part: a resistance in series, or how many times its planned current a filament draws. */
export type Tuning =
  | { readonly partId: string; readonly addedOhms: number }
  | { readonly partId: string; readonly scale: number };

/** Stands for no resistance at all, so that it can be tuned, ohms: a fraction of a millivolt at lamp current. */
const nearlyNothing = 1e-4;

/** A vehicle whose parts are tuned in place. */
export class TunedVehicle {
  private readonly vehicle: FaultedVehicle;
  private tunings: readonly Tuning[] = [];

  /** `build` makes the vehicle with the given parts in place of its own. */
  constructor(build: (replaced: ReadonlyMap<string, Part>) => FaultedVehicle) {
    const planned = build(new Map());
    const ties = withoutTies(planned);
    this.vehicle = ties.size === 0 ? planned : build(ties);
  }

  /** The vehicle with these changes and no others; valid until it is tuned again. */
  tunedTo(tunings: readonly Tuning[]): FaultedVehicle {
    for (const tuning of this.tunings) this.turn(tuning, true);
    for (const tuning of tunings) this.turn(tuning, false);
    this.tunings = tunings;
    return this.vehicle;
  }

  private turn(tuning: Tuning, back: boolean): void {
    if ("scale" in tuning) {
      this.vehicle.prepared.scaleFilament(tuning.partId, back ? 1 : tuning.scale);
      return;
    }
    // What interrupts a wire that is cut in two lies in its second half.
    const { parts } = this.vehicle;
    const part = parts.get(`${tuning.partId}/2`) ?? parts.get(tuning.partId);
    if (part?.kind !== "resistor") return;
    const now = this.vehicle.partNow(part);
    // Two resistances at one place add up.
    const before = now.kind === "resistor" ? now.ohms : part.ohms;
    this.vehicle.setOhms(part.id, back ? part.ohms : before + tuning.addedOhms);
  }
}

/** The resistors without resistance, as ones with hardly any. */
function withoutTies({ parts }: FaultedVehicle): Map<string, Part> {
  const tunable = new Map<string, Part>();
  for (const [id, part] of parts) {
    if (part.kind === "resistor" && part.ohms === 0) tunable.set(id, { ...part, ohms: nearlyNothing });
  }
  return tunable;
}
