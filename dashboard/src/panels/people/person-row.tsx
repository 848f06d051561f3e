import type { PersonView } from "@pinwalk/host/server/access/access-contract.js";
import { HandIcon } from "../../drawing/icons.js";
import { send } from "../../live/connection.js";
import { controller, inControl, you } from "../../live/people.js";
import { momentText } from "../../words/record-time.js";

const roleWords = { watch: "may watch and stop", control: "may control" } as const;

/** One person: who, whether here, whether in control, and what the one at this browser may do about it. */
export function PersonRow({ person }: { person: PersonView }) {
  const { id, name, role, here, lastSeenAt } = person;
  const isYou = you.value?.id === id;
  const controls = controller.value?.id === id;
  const atComputer = you.value?.atComputer === true;
  const mayGive = role === "control" && here && !controls && (atComputer || inControl.value);
  return (
    <li class="person">
      <p class="person-said">
        <strong>
          {name}
          {isYou && " (you)"}
        </strong>
        <span>
          {here ? "here" : lastSeenAt ? `not here, last seen ${momentText(lastSeenAt)}` : "not here"}, {roleWords[role]}
        </span>
        {controls && (
          <span class="person-controls">
            <HandIcon /> controls now
          </span>
        )}
      </p>
      <div class="person-acts">
        {mayGive && (
          <button type="button" class="button" onClick={() => void send("control:give", { to: id })}>
            {isYou ? "Take control" : "Hand control over"}
            {!isYou && <span class="said-only"> to {name}</span>}
          </button>
        )}
        {atComputer && !isYou && (
          <button type="button" class="button" onClick={() => void send("people:end", { personId: id })}>
            Send away<span class="said-only">: {name}</span>
          </button>
        )}
      </div>
    </li>
  );
}
