import type { KeepDrivenView } from "@pinwalk/host/server/next-check/keep-driven-contract.js";
import { useEffect, useRef } from "preact/hooks";
import { ToneIcon } from "../drawing/icons.js";
import { busy } from "../live/bench-jobs.js";
import { send } from "../live/connection.js";
import { goToPart } from "../live/go-to-part.js";
import { signsOfLife } from "../live/sign-of-life.js";
import { checks, keepDriven, link, nextCheck, socketId } from "../live/workbench-store.js";
import { ampsText } from "../words/amounts.js";
import "./keep-driven.css";

interface Props {
  /** As the findings name it. */
  readonly check: Readonly<Record<string, string>>;
  /** The words of the check, for those who hear which button belongs where. */
  readonly labelledBy: string;
}

/** At a next check that needs a pin driven: puts it on while one looks, with its current, and off again. */
export function KeepDriven({ check, labelledBy }: Props) {
  const state = keepDriven.value;
  const key = JSON.stringify(check);
  const starting = useOffOnLeaving(key);
  const pin = nextCheck.value?.toDrive.find((one) => JSON.stringify(one.check) === key)?.pin;
  if (!state || pin === undefined) return null;
  const mine = isFor(state, key);
  if (mine && goes(state)) return <Going state={state} pin={pin} />;
  return (
    <div class="keep-driven">
      <Ended message={mine ? state.end?.message : undefined} />
      <p class="keep-caution">
        <ToneIcon tone="warning" />
        <span>This puts the supply on {pin}. Keep clear of its wires and lamps; nobody under the vehicle.</span>
      </p>
      <button
        type="button"
        class="button"
        aria-describedby={labelledBy}
        disabled={busy.value || state.hindrance !== null || link.value !== "connected"}
        onClick={() => {
          starting.current = true;
          void send("keep-driven:start", { check }).finally(() => {
            starting.current = false;
          });
        }}
      >
        Keep {pin} driven
      </button>
    </div>
  );
}

/** Above the checks: why no pin can be kept driven for any of them, and where to see to it. */
export function KeepDrivenHindrance() {
  const hindrance = keepDriven.value?.hindrance ?? null;
  if (hindrance === null || busy.value || nextCheck.value?.toDrive.length === 0) return null;
  return (
    <div class="keep-driven">
      <p class="sheet-note">Before a pin can be kept driven: {hindrance}</p>
      {checks.value?.needed && checks.value.items.some(({ ticked }) => !ticked) && (
        <button type="button" class="button" onClick={() => goToPart("walk", "checks-title")}>
          Go to the check list
        </button>
      )}
    </div>
  );
}

function Ended({ message }: { message: string | undefined }) {
  const said = useRef<HTMLParagraphElement>(null);
  useEffect(() => {
    // The button that was pressed has gone; the focus must not go on to one that would drive the pin again.
    if (message !== undefined && document.activeElement === document.body) said.current?.focus();
  }, [message]);
  return (
    <p ref={said} role="status" tabIndex={-1}>
      {message}
    </p>
  );
}

function Going({ state, pin }: { state: KeepDrivenView; pin: string }) {
  const own = state.holder === socketId.value;
  const stopping = state.state === "stopping";
  const off = useRef<HTMLButtonElement>(null);
  useEffect(() => {
    if (own) off.current?.focus();
  }, [own]);
  // From here and not from the page as a whole: what this person has left without its being seen ends after ten seconds.
  useEffect(() => (own && state.driven ? signsOfLife("keep-driven:keep") : undefined), [own, state.driven]);
  // Off stands where the button that drives the pin does not: a second tap must not put it on again.
  return (
    <div class="keep-driven keep-on">
      <p role="status">
        <strong>
          {stopping ? `Turning ${pin} off` : state.driven ? `${pin} is driven` : `Getting ready to drive ${pin}`}
        </strong>
      </p>
      <button
        ref={off}
        type="button"
        class="button button-solid"
        disabled={link.value !== "connected"}
        onClick={() => void send("keep-driven:off", {})}
      >
        Off
        <span class="said-only">: {pin}</span>
      </button>
      <p class="keep-amps">{state.amps === null ? "…" : ampsText(state.amps)}</p>
      <p class="sheet-note">
        {own
          ? "On while you look. It goes off at once when you answer or leave, and ten seconds after this page was last in sight."
          : "On while another browser looks. It goes off when that one is gone."}
      </p>
    </div>
  );
}

const goes = ({ state }: KeepDrivenView) => state === "running" || state === "stopping";
const isFor = ({ check }: KeepDrivenView, key: string) => check !== null && JSON.stringify(check) === key;

/** Another page, or a check that is asked no more: nobody looks there now. Gives the place to say that a start is on its way. */
function useOffOnLeaving(key: string): { current: boolean } {
  const starting = useRef(false);
  useEffect(
    () => () => {
      const state = keepDriven.peek();
      const going = state && goes(state) && isFor(state, key) && state.holder === socketId.peek();
      // A start that is not answered yet is overtaken by nothing: off comes to the server behind it.
      if (going || starting.current) void send("keep-driven:off", {});
    },
    [key],
  );
  return starting;
}
