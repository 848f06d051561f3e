import { planNetwork } from "../plan/plan-network.js";
import type { Plan, Socket } from "../plan/plan-schema.js";
import type { RearLampView } from "./contract.js";
import { lampWords } from "./place-words.js";

const filamentWords: Readonly<Record<string, string>> = { bright: "Bright", dim: "Dim" };

/** The lamp housings of a plan's vehicle with their side as seen from behind. None for a cable. */
export function rearLamps(plan: Plan): RearLampView[] {
  if (plan.kind === "cable") return [];
  const ids = planNetwork(plan).lamps.map(({ id }) => id);
  const highFirst = [...plan.sockets].sort((one, other) => Number(isHigh(other)) - Number(isHigh(one)));
  return highFirst.flatMap((socket): RearLampView[] => {
    const own = ids.filter((id) => id.startsWith(`${socket.id}.`));
    if (own.length === 0) return [];
    const name = socket.place ?? lampWords(plan, socket.id);
    return [
      {
        name,
        side: sideOf(name) ?? sideOf(socket.id) ?? "centre",
        filaments: own.map((id) => ({
          id,
          word: own.length > 1 ? (filamentWords[id.slice(socket.id.length + 1)] ?? "Lit") : "Lit",
        })),
      },
    ];
  });
}

/** Lamps above the others stand above them in the drawing. */
function isHigh({ place = "" }: Socket): boolean {
  return /\b(high|roof)\b/i.test(place);
}

/** What the plan's words say; a place that names both sides, or none, is drawn in the middle. */
function sideOf(words: string): "left" | "right" | undefined {
  const left = /\bleft\b/i.test(words);
  const right = /\bright\b/i.test(words);
  return left === right ? undefined : left ? "left" : "right";
}
