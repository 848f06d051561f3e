import type { Plan } from "../../plan/plan-schema.js";

/** What a circuit of each function is called at the lamp. */
const lampOfFunction: Readonly<Record<string, string>> = {
  tail: "tail lamp",
  "left-stop-turn": "stop and turn lamp",
  "right-stop-turn": "stop and turn lamp",
  stop: "stop lamp",
  "left-turn": "turn lamp",
  "right-turn": "turn lamp",
  reverse: "reversing lamp",
  "rear-fog": "rear fog lamp",
  auxiliary: "auxiliary lamp",
};

/** A lamp in the words of the trade: `left rear tail lamp` for `left-rear.dim`. */
export function lampName(plan: Plan, lamp: string): string {
  if (plan.kind !== "install") return lamp;
  const [socketId = lamp] = lamp.split(".");
  const feeding = plan.circuits.filter((circuit) => circuit.feeds.some((feed) => feed.to === lamp));
  const named = [...new Set(feeding.map((circuit) => lampOfFunction[circuit.function] ?? circuit.function))];
  const what = named.length > 0 ? named.join(" and ") : "lamp";
  return `${placeName(plan, socketId)} ${what}`;
}

/** Where a socket sits: its place on the plan, else its id in plain letters. */
export function placeName(plan: Plan, socketId: string): string {
  const socket = plan.kind === "install" ? plan.sockets.find(({ id }) => id === socketId) : undefined;
  const place = socket?.place ?? socketId.replaceAll("-", " ");
  const twins = plan.kind === "install" ? plan.sockets.filter((other) => other.place === place) : [];
  return twins.length > 1 ? socketId.replaceAll("-", " ") : place;
}
