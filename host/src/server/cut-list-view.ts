import { cutList } from "../plan/cut-list.js";
import type { Plan } from "../plan/plan-schema.js";
import type { CutListView } from "./contract.js";
import { namedPlaceWords } from "./named-place-words.js";

/** What to get from the shelf for a plan, its places in words. Metres. */
export function cutListView(plan: Plan): CutListView {
  const { allowance, wires, terminals, diodes } = cutList(plan);
  const share = Math.round(allowance.share * 100);
  return {
    allowanceText: `${allowance.metres}\u00a0m and ${share}\u00a0% spare on each piece`,
    wires: wires.map(({ wire, colour, metres, pieces }) => ({
      wire,
      colour: colour === "any colour" ? null : colour,
      metres,
      pieces: pieces.map((piece) => ({ where: namedPlaceWords(plan, piece.where), metres: piece.metres })),
    })),
    parts: [...terminals, ...diodes],
  };
}
