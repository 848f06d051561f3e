import type { FlexWatchView as State } from "@pinwalk/host/server/flex-watch/flex-watch-contract.js";

/** The newest interruptions, each with its moment and its length. */
export function FlexGaps({ state }: { state: State }) {
  const newest = state.gaps.toReversed().slice(0, 12);
  const more = state.conductors.reduce((sum, { gapCount }) => sum + gapCount, 0) - newest.length;
  return (
    <section class="sheet" aria-labelledby="flex-gaps">
      <div class="sheet-head">
        <h2 id="flex-gaps">Interruptions</h2>
      </div>
      {newest.length === 0 ? (
        <p>None.</p>
      ) : (
        <table class="flex-gaps">
          <thead>
            <tr>
              <th scope="col">Conductor</th>
              <th scope="col" class="number">
                After
              </th>
              <th scope="col" class="number">
                Length
              </th>
            </tr>
          </thead>
          <tbody>
            {newest.map(({ pin, atMs, lengthMs }) => (
              <tr key={`${pin} ${atMs}`}>
                <th scope="row">{pin}</th>
                <td class="number">{(atMs / 1000).toFixed(2)}&nbsp;s</td>
                <td class="number">{lengthMs.toFixed(1)}&nbsp;ms</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {more > 0 && <p class="sheet-note">and {more} earlier ones; the result has them all.</p>}
    </section>
  );
}
