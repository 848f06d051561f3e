import { HandIcon } from "../drawing/icons.js";
import { send } from "../live/connection.js";
import { asker, mayNotBecause, people, you } from "../live/people.js";
import { link } from "../live/workbench-store.js";
import { Refusal } from "./refusal.js";
import "./control-banner.css";

/** Who asks for control here; or why this browser may change nothing, and how to come by control. */
export function ControlBanner() {
  if (link.value !== "connected") return null;
  return (
    <>
      {asker.value && <Asked id={asker.value.id} name={asker.value.name} />}
      {mayNotBecause.value && <MayNot because={mayNotBecause.value} />}
      <Refusal of={["control:ask", "control:give", "control:refuse", "people:end"]} />
    </>
  );
}

function Asked({ id, name }: { id: string; name: string }) {
  return (
    <div class="control-banner control-asked" role="alert">
      <p>
        <HandIcon /> <strong>{name} asks for control.</strong>
      </p>
      <div class="control-acts">
        <button type="button" class="button button-solid" onClick={() => void send("control:give", { to: id })}>
          Hand it over
        </button>
        <button type="button" class="button" onClick={() => void send("control:refuse", {})}>
          Keep control
        </button>
      </div>
    </div>
  );
}

function MayNot({ because }: { because: string }) {
  const self = you.value;
  const asked = people.value?.askedById === self?.id;
  return (
    <div class="control-banner" role="status">
      <p>
        <HandIcon /> {because}
        {asked && " You have asked for it."}
      </p>
      {self?.role === "control" && !asked && (
        <div class="control-acts">
          {self.atComputer ? (
            <button type="button" class="button" onClick={() => void send("control:give", { to: self.id })}>
              Take control
            </button>
          ) : (
            <button type="button" class="button" onClick={() => void send("control:ask", {})}>
              Ask for control
            </button>
          )}
        </div>
      )}
    </div>
  );
}
