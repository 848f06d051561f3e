import type { FaultsView } from "@pinwalk/host/server/contract.js";
import { busy } from "../live/bench-jobs.js";
import { send } from "../live/connection.js";
import { testedThing } from "../live/workbench-store.js";

/** The faults that the virtual vehicle has now, each with a way to take it out again. */
export function PutFaults({ put }: { put: FaultsView["put"] }) {
  if (put.length === 0)
    return <p class="put-none">None: the {testedThing.value} is healthy, exactly as the plan says.</p>;
  const leave = (gone: string | null) => {
    const left = gone === null ? [] : put.filter((row) => row.choice !== gone);
    void send("faults:set", {
      faults: left.map(({ choice, ohms }) => (ohms === null ? { choice } : { choice, ohms })),
    });
  };
  return (
    <>
      <ul class="choice-list put-list">
        {put.map((row) => (
          <li key={row.choice}>
            <span>
              <strong>{row.title}</strong>
              {row.ohms !== null && ` of ${row.ohms} Ω`}
              <br />
              {row.place}
            </span>
            <button
              type="button"
              class="button"
              disabled={busy.value}
              aria-label={`Take out: ${row.title}, ${row.place}`}
              onClick={() => leave(row.choice)}
            >
              Take out
            </button>
          </li>
        ))}
      </ul>
      {put.length > 1 && (
        <button type="button" class="button" disabled={busy.value} onClick={() => leave(null)}>
          Take all out
        </button>
      )}
    </>
  );
}
