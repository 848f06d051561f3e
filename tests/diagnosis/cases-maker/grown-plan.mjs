/** An install plan with any number of circuits, two lamps on every third: for measuring growth. A connector has 13 contacts at most. */
export function grownPlan(circuits) {
  const pins = Array.from({ length: circuits }, (_, at) => ({ pin: `P${at + 1}`, function: "auxiliary" }));
  const lamps = pins.flatMap(({ pin }, at) => (at % 3 === 0 ? [`${pin}a`, `${pin}b`] : [`${pin}a`]));
  const wire = { awg: 16, metres: 5, colour: "red" };
  return {
    format: "pinwalk-plan/1",
    kind: "install",
    name: `${circuits} circuits`,
    nominalVolts: 12,
    connector: { id: "custom", pins: [...pins, { pin: "GD", function: "ground" }] },
    circuits: pins.map(({ pin, function: does }) => ({
      pin,
      function: does,
      wire,
      feeds: lamps
        .filter((lamp) => lamp.slice(0, -1) === pin)
        .map((lamp) => ({ to: `${lamp}.bright`, isolation: "silicon-6a" })),
    })),
    sockets: lamps.map((id, at) => ({ id, place: `place ${id}`, bulb: ["1156", "P21W", "1141", "67"][at % 4] })),
    ground: { pin: "GD", wire },
  };
}
