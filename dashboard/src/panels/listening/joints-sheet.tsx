import type { JointView } from "@pinwalk/host/server/listening/listening-contract.js";

/** What the chosen plan says of the vehicle's own wires. */
export function JointsSheet({ joints }: { joints: readonly JointView[] }) {
  const known = joints.filter(({ vehicleWire }) => vehicleWire !== null);
  if (known.length === 0) return null;
  return (
    <section class="sheet" aria-labelledby="joints-title">
      <div class="sheet-head">
        <h2 id="joints-title">The vehicle's wires in this plan</h2>
      </div>
      <dl class="joints">
        {known.map(({ pin, feed, text, vehicleWire }) => (
          <div key={`${pin} ${feed}`}>
            <dt>{text}</dt>
            <dd>
              <bdi>{vehicleWire}</bdi>
            </dd>
          </div>
        ))}
      </dl>
    </section>
  );
}
