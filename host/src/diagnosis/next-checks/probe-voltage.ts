import { lampName, placeName } from "../words/lamp-name.js";
import { type CheckKind, type CheckScene, softened } from "./check-kind.js";

/** A point that a probe reaches while a pin is driven: at the lamp, at its ground, at the splice. */
export const probeVoltage: CheckKind = {
  key: "probe",
  effortMinutes: 3,
  propose: ({ candidates, drivablePins, conditions }) => {
    const { plan } = conditions;
    if (plan.kind !== "install") return [];
    return drivablePins.flatMap((pin) => {
      const feeds = plan.circuits.find((circuit) => circuit.pin === pin)?.feeds ?? [];
      const lamps = feeds.flatMap(({ to }) => [`lamp-feed:${to}`, `socket:${to.split(".")[0]}`]);
      const nodes = [`junction:${pin}`, ...lamps, "chassis"];
      return nodes
        .filter((node) => candidates[0]?.driven(pin)?.voltsOf(node) !== undefined)
        .map((node) => ({ probe: node, while: pin }));
    });
  },
  outcomes: (_check, scene) => {
    const supply = scene.conditions.source.volts;
    return [
      { answer: "none", text: "less than 0.2 V" },
      { answer: "some", text: `between 0.2 V and ${(0.6 * supply).toFixed(0)} V` },
      { answer: "full", text: `more than ${(0.6 * supply).toFixed(0)} V` },
    ];
  },
  chances: ({ probe, while: pin }, candidate, { conditions }) => {
    const volts = candidate.driven(pin ?? "")?.voltsOf(probe ?? "");
    if (volts === undefined) return undefined;
    const outcome = volts < 0.2 ? 0 : volts < 0.6 * conditions.source.volts ? 1 : 2;
    return softened(outcome, 3);
  },
  text: ({ probe, while: pin }, scene) =>
    `Drive ${pin} and measure the voltage ${nodeName(probe ?? "", scene)} against the tester's ground.`,
};

function nodeName(node: string, { conditions: { plan } }: CheckScene): string {
  const name = node.slice(node.indexOf(":") + 1);
  if (node.startsWith("junction:")) return `at the first splice of ${name}`;
  if (node.startsWith("lamp-feed:")) return `at the feed contact of the ${lampName(plan, name)}`;
  if (node.startsWith("socket:")) return `at the ground contact of the ${placeName(plan, name)} socket`;
  return "of the chassis";
}
