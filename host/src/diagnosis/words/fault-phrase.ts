import type { Fault } from "../../plan/fault.js";
import type { Plan } from "../../plan/plan-schema.js";
import { inOhms } from "../verdicts/amounts.js";
import { lampName, placeName } from "./lamp-name.js";

/** One fault in the words of the trade: `left rear tail lamp dead`, `the wire of TM broken`. */
export function faultPhrase(plan: Plan, fault: Fault): string {
  return (phraseOfKind[fault.kind] ?? plainPhrase)(plan, fault);
}

type Phrase = (plan: Plan, fault: Fault) => string;

const phraseOfKind: Readonly<Record<string, Phrase>> = {
  open: (plan, { at }) => {
    const [kind, rest] = splitPlace(at);
    if (kind === "lamp") return `${lampName(plan, rest)} dead`;
    if (kind === "pin") return `no connection at ${pinName(plan, rest)}`;
    if (kind === "far") return `no connection at far terminal ${rest}`;
    if (kind === "feed") return `${feedName(plan, rest)} open (splice or diode)`;
    return `${placePhrase(plan, at)} broken`;
  },
  "high-resistance": (plan, { at, ohms }) => {
    const amount = ohms === undefined ? "" : ` of about ${inOhms(ohms)}`;
    return `a resistance${amount} at ${placePhrase(plan, at)}`;
  },
  "short-to-ground": (plan, { at }) => `${placePhrase(plan, at)} shorted to ground`,
  "short-to-power": (plan, { at }) => `a foreign supply on ${placePhrase(plan, at)}`,
  bridge: (plan, { at }) => `${bothPlaces(plan, at, " joined to ")}`,
  swap: (_plan, { at }) => `${bothPins(at)} swapped`,
  "diode-shorted": (plan, { at }) => `the isolation diode of ${feedName(plan, splitPlace(at)[1])} shorted or left out`,
  "diode-reversed": (plan, { at }) => `the isolation diode of ${feedName(plan, splitPlace(at)[1])} the wrong way round`,
  "factory-diode-shorted": (plan, { at }) =>
    `the vehicle-side diode of the ${lampName(plan, splitPlace(at)[1])} shorted or left out`,
  "wrong-lamp": (plan, { at, instead }) =>
    `a wrong bulb as ${lampName(plan, splitPlace(at)[1])}${instead === undefined ? "" : ` (like a ${instead})`}`,
};

const plainPhrase: Phrase = (plan, { kind, at }) => `${kind} at ${placePhrase(plan, at)}`;

/** A fault place in words: `the ground of the left rear socket`, `terminal LT`. */
export function placePhrase(plan: Plan, at: string): string {
  const [kind, rest] = splitPlace(at);
  switch (kind) {
    case "pin":
      return pinName(plan, rest);
    case "far":
      return `far terminal ${rest}`;
    case "wire":
      return plan.kind === "cable" ? `conductor ${rest}` : `the wire of ${rest}`;
    case "feed":
      return feedName(plan, rest);
    case "lamp":
    case "lamp-feed":
      return `the feed of the ${lampName(plan, rest)}`;
    case "socket-ground":
      return `the ground of the ${placeName(plan, rest)} socket`;
    default:
      return at === "ground-bond" ? "the ground bond to the chassis" : at;
  }
}

function splitPlace(at: string): [string, string] {
  const colon = at.indexOf(":");
  return colon < 0 ? [at, ""] : [at.slice(0, colon), at.slice(colon + 1)];
}

function pinName(plan: Plan, pin: string): string {
  return plan.kind === "cable" ? `near terminal ${pin}` : `terminal ${pin}`;
}

function feedName(plan: Plan, place: string): string {
  const [pin = place, lamp = ""] = place.split("/");
  return `the branch of ${pin} to the ${lampName(plan, lamp)}`;
}

function bothPlaces(plan: Plan, at: string, joint: string): string {
  return at
    .split("+")
    .map((place) => placePhrase(plan, place))
    .join(joint);
}

function bothPins(at: string): string {
  return at
    .split("+")
    .map((place) => place.replace(/^far:/, "far ").replace(/^pin:/, ""))
    .join(" and ");
}
