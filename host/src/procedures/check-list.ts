import type { Plan } from "../plan/plan-schema.js";

/** One thing that a person makes sure of before a real bench drives anything. */
export interface CheckItem {
  readonly id: string;
  readonly text: string;
}

const always: readonly CheckItem[] = [
  { id: "fuse", text: "The bench's supply is fused with 10 A at its source: 12 V at 10 A can start a fire." },
  { id: "stop-button", text: "The bench's stop button is within reach." },
];

const install: readonly CheckItem[] = [
  { id: "vehicle-off", text: "The vehicle is off, in park and on level ground; its lamps and hazards are off." },
  { id: "charger-off", text: "Chargers are off, and no other supply or tow vehicle is on this wiring." },
  { id: "people-clear", text: "Nobody is under the vehicle, or near anything that brakes or moves." },
  {
    id: "plan-right",
    text: "The plan is this vehicle's: every circuit that will be driven is a lighting circuit on it.",
  },
];

const cable: readonly CheckItem[] = [
  { id: "both-ends", text: "Both ends of the cable are in the bench's sockets, and nothing else is connected to it." },
  { id: "cable-sound", text: "No bare conductor of the cable touches metal, water or a person." },
];

/** What has to be ticked before this plan is walked on a real bench. A virtual bench needs none of it. */
export function checkList(plan: Plan): readonly CheckItem[] {
  return [...(plan.kind === "install" ? install : cable), ...always];
}
