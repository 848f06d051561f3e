import { adapterOf } from "../adapter.js";
import type { InstallContext } from "./install-context.js";
import { figure, practice, type Remark } from "./remark.js";

/** The reference bench's slow current limit, amps. */
const testerAmps = 10;

/** What each circuit of the tow vehicle carries in addition, against the connector's limit; and what the tester cannot drive. */
export function towLoad(context: InstallContext): Remark[] {
  const { undrivable } = adapterOf(context.plan);
  return context.plan.circuits.flatMap((circuit): Remark[] => {
    const { pin } = circuit;
    const where = `pin:${pin}`;
    const amps = context.amps(`contact:${pin}`);
    const limit = context.pinOf(pin)?.maxAmps;
    const over = limit !== undefined && amps > limit.amps;
    const carried = `The tow vehicle's ${circuit.function} circuit carries ${figure(amps)} A in addition through pin ${pin}`;
    const text =
      limit === undefined
        ? `${carried}; no published limit of the contact is known.`
        : `${carried}; ${limit.amps} A is ${over ? "the connector's limit" : "allowed"}.`;
    const remarks: Remark[] = [
      {
        code: over ? "tow-load-high" : "tow-load",
        severity: over ? "problem" : "note",
        text,
        value: amps,
        ...(limit === undefined ? {} : { limit: limit.amps }),
        unit: "A",
        source: limit?.source ?? practice,
        where,
      },
    ];
    if (amps > testerAmps) {
      const tester = `Circuit ${pin} draws ${figure(amps)} A; the tester's limit of ${testerAmps} A would trip on it.`;
      const source = "the reference bench's slow limit";
      remarks.push({
        code: "above-tester",
        severity: "warning",
        text: tester,
        value: amps,
        limit: testerAmps,
        unit: "A",
        source,
        where,
      });
    }
    if (undrivable.includes(pin)) {
      const tester = `Pin ${pin} finds none of the tester's eight drivers on this connector: its circuit can be sensed, not driven.`;
      remarks.push({ code: "not-drivable", severity: "note", text: tester, source: "the adapter's rule", where });
    }
    if (context.plan.senseOnly?.includes(pin)) {
      const tester = `Pin ${pin} is never driven by this plan, so its circuit is not tested.`;
      remarks.push({ code: "never-driven", severity: "note", text: tester, source: "the plan's senseOnly", where });
    }
    return remarks;
  });
}
